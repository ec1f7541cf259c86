//! `%XSIM`: the state of the card, with a cause where there is none.
//!
//! ```text
//! <state>[,<cause>]         a dot was seen in place of the comma
//! ```
//!
//! 0 without a cause, or with 9, means that no card answers: it is missing or cannot be read. Cause 1 is the PIN. The
//! other causes are not verified.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["%XSIM"], "%XSIM?", "whether a card is there, and its state", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut parts = reply.body.splitn(2, [',', '.']).map(str::trim);
        let (state, cause) = (parts.next().unwrap_or(""), parts.next());
        let sim = match (state, cause) {
            ("1", None) => Sim::Ready,
            ("0", Some("1")) if !reply.open => Sim::PinRequired,
            ("0", Some("9")) if !reply.open => Sim::NotInserted,
            // The end of a text may have cut the cause.
            ("0", None) if !reply.open => Sim::NotInserted,
            ("0", Some(cause)) if cause.len() <= 2 && cause.bytes().all(|b| b.is_ascii_digit()) => {
                return Ok(());
            }
            ("0", None) => return Ok(()),
            _ => return Err(reply.no_form(0)),
        };
        w.fact(Fact::Sim(sim), Span::new(reply.body_at, reply.body_at + reply.body.len()));
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XSIM: 0,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn a_cause_is_read_after_a_comma_or_a_dot() {
        assert!(says(&of("%XSIM", "1"), &Fact::Sim(Sim::Ready)));
        assert!(says(&of("%XSIM", "0,1"), &Fact::Sim(Sim::PinRequired)));
        assert!(says(&of("%XSIM", "0,9"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("%XSIM", "0.9"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("%XSIM", "0"), &Fact::Sim(Sim::NotInserted)));
        assert!(of("%XSIM", "0,4").is_empty());
        assert!(of("%XSIM", "0,1x").is_empty());
    }
}
