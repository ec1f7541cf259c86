//! The SIM: `+CPIN`, `+CPINR`, `+CIMI`, `+CCID` and its spellings, `+CRSM`, `+CLCK`.
//!
//! ```text
//! +CPIN: <code>
//! +CPINR: <code>,<retries>[,<default_retries>]
//! +CIMI: <IMSI>            +CCID: <ICCID>          the numbers alone with many modems
//! +CRSM: <sw1>,<sw2>[,<response>]
//! ```
//!
//! TS 27.007 §8.3, §8.65, §5.6, §8.18, §7.4; card files of TS 31.102 §4.2 and TS 102 221 §13.2.

use crate::case::{CardLocation, Fact, Facts, Personalisation, Sim};
use crate::identity::{self, Decoded, Plmn};
use crate::response::grammar::{self, Input, Parsed, Spanned, next, number, optional};
use crate::response::{Family, FieldError, Read, Response};
use crate::span::Span;
use std::fmt;

pub(crate) static CPIN: Family = Family {
    prefixes: &["+CPIN", "CPIN"],
    request: "+CPIN?",
    source: "TS 27.007 §8.3",
    about: "whether the SIM is ready or waits for a code",
    yields: &[],
    read: cpin,
};
pub(crate) static CPINR: Family = Family {
    prefixes: &["+CPINR"],
    request: "+CPINR",
    source: "TS 27.007 §8.65",
    about: "tries left for each code",
    yields: &[],
    read: cpinr,
};
pub(crate) static CIMI: Family = Family {
    prefixes: &["+CIMI", "CIMI"],
    request: "+CIMI",
    source: "TS 27.007 §5.6",
    about: "the subscriber's number on the card",
    yields: &[],
    read: cimi,
};
pub(crate) static CCID: Family = Family {
    prefixes: &[
        "+CCID", "+ICCID", "+QCCID", "^ICCID", "%XICCID", "+SQNCCID", "#CCID", "CCID", "ICCID",
        "!ICCID",
    ],
    request: "+CCID",
    source: "vendor's command; number per ITU-T E.118",
    about: "the card's number",
    yields: &[],
    read: ccid,
};
pub(crate) static CRSM: Family = Family {
    prefixes: &["+CRSM"],
    request: "+CRSM=176,28539,0,0,12",
    source: "TS 27.007 §8.18; TS 31.102 §4.2",
    about: "a file of the card",
    yields: &[],
    read: crsm,
};

/// The codes of `+CPIN` (§8.3), and the words beyond the standard that modems print in their place.
const CODES: &[(&str, Sim)] = &[
    ("READY", Sim::Ready),
    ("SIM PIN", Sim::PinRequired),
    ("SIM PUK", Sim::PukRequired),
    ("PH-SIM PIN", Sim::DeviceCode),
    ("PH-SIM PUK", Sim::DeviceCode),
    ("PH-FSIM PIN", Sim::DeviceCode),
    ("PH-FSIM PUK", Sim::DeviceCode),
    ("SIM PIN2", Sim::SecondCodeRequired),
    ("SIM PUK2", Sim::SecondCodeRequired),
    ("PH-NET PIN", Sim::Locked(Personalisation::Network)),
    ("PH-NET PUK", Sim::Locked(Personalisation::Network)),
    ("PH-NETSUB PIN", Sim::Locked(Personalisation::Subset)),
    ("PH-NETSUB PUK", Sim::Locked(Personalisation::Subset)),
    ("PH-SP PIN", Sim::Locked(Personalisation::Provider)),
    ("PH-SP PUK", Sim::Locked(Personalisation::Provider)),
    ("PH-CORP PIN", Sim::Locked(Personalisation::Corporate)),
    ("PH-CORP PUK", Sim::Locked(Personalisation::Corporate)),
    // Beyond the standard: common practice, no source.
    ("SIM PIN REQUIRED", Sim::PinRequired),
    ("PIN REQUIRED", Sim::PinRequired),
    ("SIM PUK REQUIRED", Sim::PukRequired),
    ("PUK REQUIRED", Sim::PukRequired),
    ("NOT INSERTED", Sim::NotInserted),
    ("SIM NOT INSERTED", Sim::NotInserted),
    ("ABSENT", Sim::NotInserted),
    ("SIM ABSENT", Sim::NotInserted),
    ("NO SIM", Sim::NotInserted),
    ("SIM REMOVED", Sim::NotInserted),
    ("REMOVED", Sim::NotInserted),
    ("NOT READY", Sim::Busy),
    ("SIM NOT READY", Sim::Busy),
    ("SIM BUSY", Sim::Busy),
    ("BUSY", Sim::Busy),
    ("SIM FAILURE", Sim::Failure),
    ("FAILURE", Sim::Failure),
    ("SIM CRASH", Sim::Failure),
    ("SIM ERROR", Sim::Failure),
    ("SIM WRONG", Sim::Wrong),
    ("EMPTY EUICC", Sim::NoProfile),
    ("NO PROFILE", Sim::NoProfile),
];

/// The state of the card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cpin {
    /// The code as it stands in the clause, and what it says.
    pub code: Spanned<(&'static str, Sim)>,
}

impl Cpin {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The words that are no code.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, at) = grammar::word("code", CODES)(input)?;
            Ok((rest, Self { code: at }))
        })
    }

    /// The code of a state, for a modem that is made in code.
    pub(crate) fn of(sim: Sim) -> Option<Self> {
        CODES.iter().find(|(_, s)| *s == sim).map(|&code| Self { code: code.into() })
    }
}

impl fmt::Display for Cpin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CPIN: {}", self.code.0)
    }
}

fn cpin(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    Cpin::parse(reply).map(|cpin| facts.push(Fact::Sim(cpin.code.1), reply.span)).into()
}

/// The attempts left for a code.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cpinr {
    /// The code as it stands in the clause.
    pub code: Spanned<(&'static str, Sim)>,
    /// Attempts left.
    pub retries: Spanned<u8>,
    /// Attempts of a fresh card.
    pub default_retries: Option<Spanned<u8>>,
}

impl Cpinr {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, code) = grammar::word("code", CODES)(input)?;
            let (rest, retries) = next("retries", number("retries", 0..=99))(rest)?;
            let (rest, default_retries) = optional(number("default_retries", 0..=99))(rest)?;
            Ok((rest, Self { code, retries, default_retries }))
        })
    }
}

impl fmt::Display for Cpinr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CPINR: {},{}", self.code.0, self.retries)?;
        self.default_retries.map_or(Ok(()), |tries| write!(f, ",{tries}"))
    }
}

fn cpinr(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |left: Cpinr| match left.code.0 {
        "SIM PIN" => facts.push(Fact::PinTries(*left.retries), reply.span),
        "SIM PUK" => facts.push(Fact::PukTries(*left.retries), reply.span),
        _ => {}
    };
    Cpinr::parse(reply).map(note).into()
}

fn cimi(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() {
        return Read::Understood;
    }
    let read = grammar::parse(reply, grammar::digit_string("IMSI", 14..=15));
    read.map(|digits| facts.push(Fact::Imsi(digits.value.to_owned()), reply.span)).into()
}

fn ccid(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    // Some print another identity beside it.
    let read = grammar::parse(reply, |input| {
        let (rest, first) = grammar::any(input)?;
        let cut =
            grammar::is_cut(rest) && !grammar::starts_quoted(input) && first.len() < LONGEST_ICCID;
        let first = if cut { "" } else { first.value };
        let (rest, others) = grammar::remaining(rest)?;
        let number = others.iter().rev().map(|f| f.text).chain([first]).find_map(iccid);
        match number {
            Some(digits) => Ok((rest, digits)),
            None => grammar::fail(input, "ICCID", "18 to 20 digits"),
        }
    });
    read.map(|digits| facts.push(Fact::Iccid(digits.to_owned()), reply.span)).into()
}

/// The digits of an ICCID with its filler (ITU-T E.118).
const LONGEST_ICCID: usize = 20;

fn iccid(text: &str) -> Option<&str> {
    let digits = text.trim_end_matches(['F', 'f']);
    let fits =
        (18..=LONGEST_ICCID).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    fits.then_some(digits)
}

/// What the card gave for a command of restricted access.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Crsm {
    /// The two status bytes.
    pub status: [Spanned<u8>; 2],
    /// The data, hexadecimal.
    pub data: Option<Spanned<String>>,
}

impl Crsm {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, first) = number("sw1", 0..=u8::MAX)(input)?;
            let (rest, second) = next("sw2", number("sw2", 0..=u8::MAX))(rest)?;
            let (rest, data) = optional(bytes)(rest)?;
            Ok((rest, Self { status: [first, second], data }))
        })
    }
}

/// Hexadecimal digits of whole bytes.
fn bytes(input: Input<'_>) -> Parsed<'_, Spanned<String>> {
    let (rest, data) = grammar::any(input)?;
    let whole = data.is_empty() || hex_bytes(&data).is_some();
    if !whole || !grammar::starts_quoted(input) && grammar::is_cut(rest) {
        return grammar::fail(input, "response", "hexadecimal digits of whole bytes");
    }
    Ok((rest, Spanned { value: data.value.to_owned(), span: data.span }))
}

impl fmt::Display for Crsm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CRSM: {},{}", self.status[0], self.status[1])?;
        self.data.as_ref().map_or(Ok(()), |data| write!(f, ",\"{data}\""))
    }
}

/// The file is named by the request: `+CRSM=<command>,<file>,…`.
fn crsm(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let Crsm { status, data } = match Crsm::parse(reply) {
        Ok(read) => read,
        Err(error) => return Read::Misread(error),
    };
    if !matches!(*status[0], 144 | 145) {
        return Read::Understood;
    }
    let asked = reply.request.split_once('=').and_then(|(_, values)| values.split(',').nth(1));
    let file = asked.and_then(|file| file.trim().parse::<u16>().ok());
    match (file, data.and_then(|d| hex_bytes(&d))) {
        (Some(number), Some(bytes)) => self::file(number, &bytes, reply.span, facts),
        _ => Read::Understood,
    }
}

/// Notes what the bytes of a card file say.
pub(super) fn file(number: u16, bytes: &[u8], span: Span, facts: &mut Facts) -> Read {
    let digits = |plmn: Option<Plmn>| plmn.as_ref().map(Plmn::digits);
    let fact = match identity::decode(number, bytes) {
        Some(Decoded::Imsi(digits)) => return imsi(&digits, span, facts),
        Some(Decoded::Iccid(digits)) => Fact::Iccid(digits),
        Some(Decoded::Networks(list)) => Fact::Forbidden(list.iter().map(Plmn::digits).collect()),
        Some(Decoded::Administrative { mnc_digits: Some(length), .. }) => Fact::MncLength(length),
        Some(Decoded::ProviderName(name)) if !name.is_empty() => Fact::ProviderName(name),
        Some(Decoded::Group(group)) if number == 0x6F3E => Fact::Gid1(group),
        Some(Decoded::Location { plmn, state, .. } | Decoded::EpsLocation { plmn, state, .. }) => {
            Fact::CardLocation(CardLocation { plmn: digits(plmn), state })
        }
        Some(Decoded::AccessClasses(classes)) => Fact::AccessClasses(classes),
        Some(Decoded::NetworksWithTechnology(list)) => {
            for (plmn, _) in list {
                facts.push(Fact::Preferred(plmn.digits()), span);
            }
            return Read::Understood;
        }
        _ => return Read::Understood,
    };
    facts.push(fact, span);
    Read::Understood
}

/// Notes the digits of an IMSI from a card file.
fn imsi(digits: &str, span: Span, facts: &mut Facts) -> Read {
    if (14..=15).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit()) {
        facts.push(Fact::Imsi(digits.to_owned()), span);
        Read::Understood
    } else {
        Read::UnknownForm
    }
}

pub(super) fn hex_bytes(text: &str) -> Option<Vec<u8>> {
    // Within a string of a program the quotes are escaped.
    let text = text.trim_matches(['"', '\\']);
    if text.is_empty() || !text.len().is_multiple_of(2) || !text.is_ascii() {
        return None;
    }
    (0..text.len()).step_by(2).map(|i| u8::from_str_radix(&text[i..i + 2], 16).ok()).collect()
}

#[cfg(test)]
mod tests;
