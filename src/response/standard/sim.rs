//! The SIM: `+CPIN`, `+CPINR`, `+CIMI`, `+CCID` and its spellings, `+CRSM`, `+CLCK`.
//!
//! TS 27.007 §8.3, §8.65, §5.6, §8.18, §7.4; card files of TS 31.102 §4.2 and TS 102 221 §13.2.

use crate::case::{CardLocation, Fact, Facts, Personalisation, Sim};
use crate::identity::{self, Decoded, Plmn};
use crate::response::{Family, Form, Read, Response};
use crate::span::Span;

pub(crate) static CPIN: Family = Family {
    heads: &["+CPIN", "CPIN"],
    request: "AT+CPIN?",
    source: "TS 27.007 §8.3",
    about: "whether the SIM is ready or waits for a code",
    yields: &[],
    read: cpin,
};
pub(crate) static CPINR: Family = Family {
    heads: &["+CPINR"],
    request: "AT+CPINR",
    source: "TS 27.007 §8.65",
    about: "tries left for each code",
    yields: &[],
    read: cpinr,
};
pub(crate) static CIMI: Family = Family {
    heads: &["+CIMI", "CIMI"],
    request: "AT+CIMI",
    source: "TS 27.007 §5.6",
    about: "the subscriber's number on the card",
    yields: &[],
    read: cimi,
};
pub(crate) static CCID: Family = Family {
    heads: &[
        "+CCID", "+ICCID", "+QCCID", "^ICCID", "%XICCID", "+SQNCCID", "#CCID", "CCID", "ICCID",
        "!ICCID",
    ],
    request: "AT+CCID",
    source: "maker's command; number per ITU-T E.118",
    about: "the card's number",
    yields: &[],
    read: ccid,
};
pub(crate) static CRSM: Family = Family {
    heads: &["+CRSM"],
    request: "AT+CRSM=176,28539,0,0,12",
    source: "TS 27.007 §8.18; TS 31.102 §4.2",
    about: "a file of the card",
    yields: &[],
    read: crsm,
};

/// The state that a `+CPIN` code or the words of an error say; `None` for words that say none.
pub(crate) fn state(words: &str) -> Option<Sim> {
    if words == "READY" {
        return Some(Sim::Ready);
    }
    let w = words.trim().trim_matches('"').to_ascii_uppercase().replace(['_', '-'], " ");
    Some(match w.as_str() {
        "READY" => Sim::Ready,
        "SIM PIN" | "SIM PIN REQUIRED" | "PIN REQUIRED" => Sim::PinRequired,
        "SIM PUK" | "SIM PUK REQUIRED" => Sim::PukRequired,
        "SIM PIN2" | "SIM PUK2" => Sim::SecondCodeRequired,
        "PH SIM PIN" | "PH FSIM PIN" | "PH FSIM PUK" | "PH SIM PUK" => Sim::DeviceCode,
        "PH NET PIN" | "PH NET PUK" => Sim::Locked(Personalisation::Network),
        "PH NETSUB PIN" | "PH NETSUB PUK" => Sim::Locked(Personalisation::Subset),
        "PH SP PIN" | "PH SP PUK" => Sim::Locked(Personalisation::Provider),
        "PH CORP PIN" | "PH CORP PUK" => Sim::Locked(Personalisation::Corporate),
        "NOT INSERTED" | "SIM NOT INSERTED" | "ABSENT" | "SIM ABSENT" | "NO SIM"
        | "SIM REMOVED" | "REMOVED" => Sim::NotInserted,
        "NOT READY" | "SIM BUSY" | "BUSY" | "SIM NOT READY" => Sim::Busy,
        "SIM FAILURE" | "FAILURE" | "SIM CRASH" | "SIM ERROR" => Sim::Failure,
        "SIM WRONG" => Sim::Wrong,
        _ => return None,
    })
}

fn cpin(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.is_empty() {
        return Read::Understood;
    }
    let words = reply.fields()[0].text;
    // Where line ends were lost, what came next stands behind the state.
    let beginnings = words.match_indices(' ').take(3).map(|(end, _)| &words[..end]);
    let found = state(words).or_else(|| beginnings.filter_map(state).last());
    match found {
        Some(sim) => {
            facts.push(Fact::Sim(sim), reply.span);
            Read::Understood
        }
        None => Read::UnknownForm,
    }
}

fn cpinr(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let [code, tries, ..] = fields[..] else { return Read::UnknownForm };
    let Some(left) = tries.small() else { return Read::UnknownForm };
    match code.text.to_ascii_uppercase().as_str() {
        "SIM PIN" => facts.push(Fact::PinTries(left), reply.span),
        "SIM PUK" => facts.push(Fact::PukTries(left), reply.span),
        _ => {}
    }
    Read::Understood
}

fn cimi(reply: &Response<'_>, facts: &mut Facts) -> Read {
    imsi(reply.body, reply.span, facts)
}

fn imsi(text: &str, span: Span, facts: &mut Facts) -> Read {
    let digits = text.trim_matches('"');
    if (14..=15).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit()) {
        facts.push(Fact::Imsi(digits.to_owned()), span);
        Read::Understood
    } else {
        Read::UnknownForm
    }
}

fn ccid(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    // Some print another identity beside it.
    let number = fields.iter().rev().find_map(|field| {
        let digits = field.text.trim_matches('"').trim_end_matches(['F', 'f']);
        let fits = (18..=20).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
        fits.then_some(digits)
    });
    let Some(digits) = number else { return Read::UnknownForm };
    facts.push(Fact::Iccid(digits.to_owned()), reply.span);
    Read::Understood
}

/// The file is told by the request: `+CRSM=<command>,<file>,…`.
fn crsm(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let [sw1, _sw2, data, ..] = fields[..] else { return Read::Understood };
    if !matches!(sw1.text, "144" | "145") {
        return Read::Understood;
    }
    let file = reply
        .request
        .split_once('=')
        .and_then(|(_, a)| a.split(',').nth(1))
        .and_then(|f| f.trim().parse::<u16>().ok());
    let Some(bytes) = hex_bytes(data.text) else { return Read::UnknownForm };
    match file {
        Some(number) => self::file(number, &bytes, reply.span, facts),
        None => Read::Understood,
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

pub(super) fn hex_bytes(text: &str) -> Option<Vec<u8>> {
    let text = text.trim_matches('"');
    if text.is_empty() || !text.len().is_multiple_of(2) || !text.is_ascii() {
        return None;
    }
    (0..text.len()).step_by(2).map(|i| u8::from_str_radix(&text[i..i + 2], 16).ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lock_names_are_told_apart() {
        assert_eq!(state("PH-NET PIN"), Some(Sim::Locked(Personalisation::Network)));
        assert_eq!(state("SIM PIN2"), Some(Sim::SecondCodeRequired));
        assert_eq!(state("HELLO"), None);
    }

    #[test]
    fn a_state_is_read_before_what_came_next() {
        use crate::response::standard::tests::facts_of;
        let says = |line: &str, sim| facts_of(line).contains(&Fact::Sim(sim));
        assert!(says("+CPIN: READY  SMS DONE card online", Sim::Ready));
        assert!(says("+CPIN: SIM PIN and then nothing", Sim::PinRequired));
        assert!(says("+CPIN: NOT READY yet", Sim::Busy));
        assert!(facts_of("+CPIN: what is this").is_empty());
    }
}
