//! Explains why a cellular modem that sees its SIM will not attach.
//!
//! # A tour
//!
//! A text, pasted or recorded from a live modem, becomes a [`Capture`](capture::Capture): exchanges and lines, each with
//! its place in the text. The facts that are read from it make a [`Case`](case::Case). Every [rule](rules) judges the
//! case; the [`Verdict`](verdict::Verdict) puts their answers in order; the
//! [`Explanation`](explanation::Explanation) adds what users need beside it, and one function for each format writes it.
//!
//! Facts first, each with the line that it was read from, later ones after earlier ones:
//!
//! ```
//! use mastside::capture::Capture;
//! use mastside::case::{Case, Domain};
//!
//! let text = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15\nOK\n";
//! let capture = Capture::new(text);
//! let case = Case::read(&capture);
//!
//! let state = case.stat(Domain::Eps).unwrap();
//! assert_eq!(state.value.stat, 3);
//! assert_eq!(state.span.of(text), "+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15");
//! let reject = case.registration.rejects.latest().unwrap();
//! assert_eq!(reject.value.cause, 15);
//! ```
//!
//! Then the rules: each holds, is ruled out, or is open, and says on which lines. What is open names the commands that
//! would settle it.
//!
//! ```
//! # use mastside::{capture::Capture, case::Case};
//! use mastside::rules::{self, Judgement};
//! use mastside::verdict::explain;
//!
//! let case = Case::read(&Capture::new("AT+CPIN?\n+CPIN: READY\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n"));
//! let verdict = explain(&case);
//! let pin = verdict.judged.iter().find(|j| j.rule.id == "card/pin-required").unwrap();
//! assert!(matches!(pin.judgement, Judgement::RuledOut(_)));
//! assert!(!verdict.ask_next.is_empty());
//! assert!(rules::find("card/pin-required").unwrap().page.starts_with("# "));
//! ```
//!
//! All in one, held against the carrier profiles, and written as text and as JSON:
//!
//! ```
//! use mastside::carrier::ProfileStore;
//! use mastside::explanation::{self, Basis, Explanation, View};
//!
//! let text = "AT+CFUN?\n+CFUN: 4\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n";
//! let profiles = ProfileStore::shipped();
//! let explained = Explanation::of(text, Vec::new(), &Basis::of(&profiles), View::default())?;
//! assert_eq!(explained.verdict().id(), "device/radio-off");
//!
//! let mut page = String::new();
//! explanation::text(&explained, &mut page)?;
//! assert!(page.contains("+CFUN: 4"));
//! assert_eq!(explanation::json::object(&explained).verdict.finding, "device/radio-off");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Rooms
//!
//! | modules | what they own |
//! | --- | --- |
//! | [`capture`], [`span`] | raw text to exchanges, each piece with its place |
//! | [`response`], [`free_text`], [`reading`] | what responses and words mean, as facts |
//! | [`case`] | the facts of one modem, by layer, in time order |
//! | [`identity`], [`mod@reference`], [`lookup`] | numbers, the tables of the standards, single questions about them |
//! | [`carrier`] | what a carrier requires |
//! | [`rules`], [`verdict`] | one rule a cause; the root cause, the questions, the decision on a return |
//! | [`explanation`], [`sanitize`], [`redact`], [`caution`], [`desk`] | the one value that all formats write, what may leave the machine, and the local page |
//! | [`port`], [`at`], [`live`], [`simulator`] | a live or simulated modem: read, changed with undo, watched |
//! | [`survey`], [`statistics`], [`plot`], [`random`] | signal as measurement |
//! | [`triage`], [`ticket`] | many captures; what is known of one customer, in a folder |
//! | [`align`], [`commission`], [`compare`] | turning an antenna, acceptance, two states of one site |
//! | [`watch`] | one modem watched unattended: a log, events, outages, figures |
//! | [`cli`] | the command line |
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod align;
pub mod at;
pub mod capture;
pub mod carrier;
pub mod case;
pub mod caution;
pub mod cli;
#[cfg(feature = "parquet")]
pub(crate) mod columnar;
pub mod commission;
pub mod compare;
pub mod desk;
pub mod explanation;
pub mod free_text;
pub mod identity;
pub mod live;
pub mod lookup;
pub mod plot;
pub mod port;
pub(crate) mod private_file;
pub mod random;
pub mod reading;
pub mod redact;
pub mod reference;
pub mod response;
pub mod rules;
pub mod sanitize;
pub(crate) mod serving;
pub mod simulator;
pub mod span;
pub mod statistics;
pub mod survey;
pub mod ticket;
pub mod triage;
pub mod verdict;
pub mod watch;
