//! The values that facts carry, and where facts go while a text is read.

use super::facts::Fact;
use super::history::ReportedBy;
use super::keyed::{OfContext, OfDomain};
use super::kind::{Cell, Domain};
use super::quantity::Quantity;
use crate::reference::causes::CauseList;
use crate::span::Span;
use compact_str::CompactString;

/// A registration state as read, `<stat>` kept as its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Registration {
    /// The domain.
    pub domain: Domain,
    /// The `<stat>` number; those beyond TS 27.007 stay numbers.
    pub stat: u8,
    /// The access technology number, where given.
    pub act: Option<u8>,
    /// Whether it came by itself.
    pub unsolicited: bool,
}

impl OfDomain for Registration {
    fn domain(&self) -> Domain {
        self.domain
    }
}

/// A place on the earth (WGS 84) as a module's receiver tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude: f64,
    /// Degrees, east positive.
    pub longitude: f64,
    /// Metres above the sea, where told.
    pub altitude_m: Option<f64>,
    /// Horizontal dilution of precision, where told.
    pub hdop: Option<f64>,
}

/// A cause that the network gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reject {
    /// The list that the number belongs to.
    pub kind: CauseList,
    /// The number.
    pub cause: u8,
    /// Whether the reply tells the last failure (history), not the present state.
    pub history: bool,
}

/// A context as it is stored (`+CGDCONT?`) or set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContextDefinition {
    /// Context number.
    pub cid: u8,
    /// Address type as printed (`IP`, `IPV6`, `IPV4V6`, `Non-IP`, `PPP`).
    pub kind: CompactString,
    /// The access point name with every blank it carries; empty means none.
    pub apn: CompactString,
    /// Whether it was set in this dialogue (`true`) or read back.
    pub set: bool,
}

impl ContextDefinition {
    /// Whether its name is one for voice, messages or emergency calls (GSMA and 3GPP practice), on which no data passes.
    pub fn is_for_other_use(&self) -> bool {
        ["ims", "sos", "emergency", "xcap", "mms"].iter().any(|n| self.apn.eq_ignore_ascii_case(n))
    }
}

impl OfContext for ContextDefinition {
    fn cid(&self) -> u8 {
        self.cid
    }
}

/// A context's authentication (`+CGAUTH` and the like).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContextAuthentication {
    /// Context number.
    pub cid: u8,
    /// 0 none, 1 PAP, 2 CHAP (TS 27.007 §10.1.31).
    pub protocol: u8,
    /// Whether a user name stands there; the name itself is not kept.
    pub user: bool,
}

/// A row of the operator list (`+COPS=?`).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScannedNetwork {
    /// 0 unknown, 1 available, 2 current, 3 forbidden.
    pub stat: u8,
    /// Network code, digits only, where the list gives it.
    pub plmn: String,
    /// The name, long form first.
    pub name: String,
    /// Access technology number, where given.
    pub act: Option<u8>,
}

/// The state of operator choice (`+COPS?`).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Operator {
    /// 0 automatic, 1 manual, 2 deregistered, 3 format only, 4 manual then automatic.
    pub mode: u8,
    /// Name or code in use; `None` while there is none.
    pub name: Option<String>,
    /// Access technology number, where given.
    pub act: Option<u8>,
}

/// The network of the card's last location update, and what came of it (TS 31.102 §4.2.17, §4.2.91).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardLocation {
    /// The network, digits; `None` for none.
    pub plmn: Option<String>,
    /// The update state in the words of the standard.
    pub state: &'static str,
}

/// How a command ended, where the end itself tells something.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Failure {
    /// The command, as sent, without `AT`; empty where it is not known.
    pub command: String,
    /// The `+CME ERROR` number; `None` for a bare `ERROR`.
    pub cme: Option<u16>,
    /// The `+CMS ERROR` number.
    pub cms: Option<u16>,
}

/// A reading whose scale or place is not settled, so that no number is claimed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// What was read.
    pub quantity: Quantity,
    /// Where it was measured.
    pub cell: Cell,
    /// The smallest and the largest value that the text can mean, where that much is known.
    pub between: Option<(f64, f64)>,
    /// Why it is not settled, in plain words.
    pub why: &'static str,
}

/// A number or a word.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the unit of its quantity; `None` where the modem had no value.
    Number(Option<f64>),
    /// A word.
    Word(CompactString),
}

/// One reading of a quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was read.
    pub quantity: Quantity,
    /// Its value.
    pub value: Value,
    /// The cell it belongs to.
    pub cell: Cell,
}

impl Fact {
    /// The number of a reading, with its quantity and cell.
    pub fn as_number(&self) -> Option<(Quantity, f64, Cell)> {
        match self {
            Self::Reading(Reading { quantity, value: Value::Number(Some(value)), cell }) => {
                Some((*quantity, *value, *cell))
            }
            _ => None,
        }
    }

    /// A number in the unit of its quantity.
    pub const fn number(quantity: Quantity, value: f64, cell: Cell) -> Self {
        Self::Reading(Reading { quantity, value: Value::Number(Some(value)), cell })
    }

    /// The quantity was asked for and the modem has no value.
    pub const fn no_value(quantity: Quantity, cell: Cell) -> Self {
        Self::Reading(Reading { quantity, value: Value::Number(None), cell })
    }

    /// A word with its quantity (network codes, area codes, access point names).
    pub const fn word(quantity: Quantity, word: CompactString, cell: Cell) -> Self {
        Self::Reading(Reading { quantity, value: Value::Word(word), cell })
    }
}

/// Where facts go while replies are read.
#[derive(Debug, Default)]
pub struct Facts {
    found: Vec<(Fact, Span)>,
    /// Who says each of them.
    by: Vec<ReportedBy>,
    /// Who says what is noted next.
    now: ReportedBy,
}

impl Facts {
    /// Notes a fact and where it stands.
    pub fn push(&mut self, fact: Fact, span: Span) {
        self.found.push((fact, span));
        self.by.push(self.now);
    }

    /// Sets who says what is noted next.
    pub fn said_by(&mut self, by: ReportedBy) {
        self.now = by;
    }

    /// Notes a number, or leaves it out where it is outside the range of its quantity.
    ///
    /// Returns whether it was noted.
    #[inline]
    pub fn number(&mut self, quantity: Quantity, value: f64, cell: Cell, span: Span) -> bool {
        let (low, high) = quantity.range();
        let fits = value >= low && value <= high;
        if fits {
            self.push(Fact::number(quantity, value, cell), span);
        }
        fits
    }

    /// Drops the unwanted of the facts that were noted behind the first `begun`.
    pub(crate) fn drop_since(&mut self, begun: usize, unwanted: impl Fn(&Fact) -> bool) {
        let mut at = begun;
        while at < self.found.len() {
            if unwanted(&self.found[at].0) {
                self.found.remove(at);
                self.by.remove(at);
            } else {
                at += 1;
            }
        }
    }

    /// The facts so far, in the order in which they were read.
    pub fn found(&self) -> &[(Fact, Span)] {
        &self.found
    }

    /// Takes back what was noted after the first `count` facts.
    pub(crate) fn truncate(&mut self, count: usize) {
        self.found.truncate(count);
    }

    /// Hands the facts out one after the other and leaves none behind.
    pub fn drain(&mut self) -> impl Iterator<Item = (Fact, Span)> + '_ {
        self.by.clear();
        self.found.drain(..)
    }

    /// Hands the facts out with who says each, one after the other, and leaves none behind.
    pub(crate) fn drain_reported(&mut self) -> impl Iterator<Item = (Fact, Span, ReportedBy)> + '_ {
        self.found.drain(..).zip(self.by.drain(..)).map(|((fact, span), by)| (fact, span, by))
    }
}
