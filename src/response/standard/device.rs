//! The device: `+CFUN`, identification, and the marks of starting and stopping.
//!
//! TS 27.007 §8.2, §5.1–5.4; V.250 §6.1.3. The marks are makers' own and have no clause.

use super::network::OneNumber;
use crate::capture::{Ending, Exchange, Line};
use crate::case::{Cell, Fact, Facts, Power, Quantity};
use crate::response::grammar;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(crate) static CFUN: Family = Family {
    prefixes: &["+CFUN", "CFUN"],
    request: "+CFUN?",
    source: "TS 27.007 §8.2",
    about: "functionality level: radio on or off",
    yields: &[Quantity::Functionality],
    read: cfun,
};
pub(crate) static CGSN: Family = Family {
    prefixes: &["+CGSN", "CGSN"],
    request: "+CGSN=1",
    source: "TS 27.007 §5.4",
    about: "the equipment's number",
    yields: &[],
    read: cgsn,
};

fn cfun(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |level: OneNumber| {
        facts.push(Fact::Functionality(*level.value), reply.span);
        facts.number(Quantity::Functionality, f64::from(*level.value), Cell::Serving, reply.span);
    };
    OneNumber::parse(reply, "+CFUN", "fun", 0..=u8::MAX).map(note).into()
}

fn cgsn(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let read = grammar::parse(reply, grammar::digit_string("IMEI", 14..=16));
    read.map(|digits| facts.push(Fact::Imei(digits.value.to_owned()), digits.span)).into()
}

/// What an identification command asks for.
#[derive(Clone, Copy)]
enum Asked {
    Maker,
    Model,
    Firmware,
    Equipment,
    Subscriber,
    Card,
    Labels,
}

/// What a command, without its `AT`, asks of the identity; `None` for every other command.
fn asked(command: &str) -> Option<Asked> {
    // The longest of them is asked with `=1` or `=?` behind it.
    if command.len() > 9 {
        return None;
    }
    let mut bare = command.as_bytes();
    while let [rest @ .., b'?' | b'='] = bare {
        bare = rest;
    }
    let bare = bare.strip_suffix(b"=1").unwrap_or(bare);
    let mut name = [0; 6];
    let name = name.get_mut(..bare.len())?;
    name.copy_from_slice(bare);
    name.make_ascii_uppercase();
    Some(match &*name {
        b"+CGMI" | b"+GMI" => Asked::Maker,
        b"+CGMM" | b"+GMM" => Asked::Model,
        b"+CGMR" | b"+GMR" => Asked::Firmware,
        b"+CGSN" | b"+GSN" => Asked::Equipment,
        b"+CIMI" => Asked::Subscriber,
        b"+CCID" | b"+ICCID" | b"+QCCID" | b"#CCID" | b"^ICCID" => Asked::Card,
        b"I" | b"I0" | b"I1" | b"I3" => Asked::Labels,
        _ => return None,
    })
}

/// Plain lines that answer an identification command.
pub(crate) fn identification(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let Some(command) = exchange.command else { return };
    let Some(asked) = asked(command) else { return };
    // A line that the text was cut in is not whole.
    let whole = |l: &&Line<'_>| l.prefix.is_empty() && l.ending == Ending::Complete;
    for line in exchange.lines.iter().filter(whole) {
        let text = line.text.trim().trim_matches('"');
        let digits = text.len() >= 14 && text.bytes().all(|b| b.is_ascii_digit());
        let fact = match asked {
            Asked::Maker => Fact::Manufacturer(text.to_owned()),
            Asked::Model => Fact::Model(text.to_owned()),
            Asked::Firmware => Fact::Firmware(text.to_owned()),
            Asked::Equipment if digits && text.len() <= 16 => Fact::Imei(text.to_owned()),
            Asked::Subscriber if digits && text.len() <= 15 => Fact::Imsi(text.to_owned()),
            Asked::Card if digits => Fact::Iccid(text.to_owned()),
            Asked::Labels => match labelled(text) {
                Some(fact) => fact,
                None => continue,
            },
            _ => continue,
        };
        facts.push(fact, line.span);
    }
}

fn labelled(text: &str) -> Option<Fact> {
    let (label, value) = text.split_once(':')?;
    let value = value.trim().to_owned();
    match label.trim().to_ascii_lowercase().as_str() {
        "manufacturer" => Some(Fact::Manufacturer(value)),
        "model" => Some(Fact::Model(value)),
        "revision" => Some(Fact::Firmware(value)),
        "imei" => {
            let digits: String = value.chars().filter(char::is_ascii_digit).collect();
            (14..=16).contains(&digits.len()).then_some(Fact::Imei(digits))
        }
        _ => None,
    }
}

/// Lines that a modem prints while it starts or stops.
pub(crate) fn mark(line: &Line<'_>, facts: &mut Facts) -> bool {
    const MARKS: [(&str, Power); 22] = [
        ("RDY", Power::Started),
        ("^SYSSTART", Power::Started),
        ("+SYSSTART", Power::Started),
        ("*ATREADY", Power::Started),
        ("%RDY", Power::Started),
        ("+KSUP", Power::Started),
        ("%BOOTEV", Power::Started),
        ("+STARTUP", Power::Started),
        ("MODEM:STARTUP", Power::Started),
        ("APP RDY", Power::Starting),
        ("CALL READY", Power::Starting),
        ("SMS READY", Power::Starting),
        ("SMS DONE", Power::Starting),
        ("PB DONE", Power::Starting),
        ("NORMAL POWER DOWN", Power::Down),
        ("POWERED DOWN", Power::Down),
        ("POWER DOWN", Power::Down),
        ("UNDER-VOLTAGE", Power::LowVoltage),
        ("UNDER_VOLTAGE", Power::LowVoltage),
        ("OVER-VOLTAGE", Power::HighVoltage),
        ("OVER_VOLTAGE", Power::HighVoltage),
        ("BROWNOUT", Power::LowVoltage),
    ];
    let shown = if line.prefix.is_empty() { line.text } else { line.prefix };
    // A log puts brackets or quotes around what came by itself.
    let shown = shown.trim_start_matches([' ', '\t', '(', '[', '{', '"', '\'']);
    let found = MARKS.iter().find(|(word, _)| {
        shown.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word))
            && !shown[word.len()..].starts_with(|c: char| c.is_ascii_alphanumeric())
    });
    if let Some(&(word, power)) = found {
        // Sentences that only begin with the word are no marks.
        let alone = !line.prefix.is_empty() || crate::capture::words(&shown[word.len()..]) <= 2;
        if alone {
            facts.push(Fact::Power(power), line.span);
            return true;
        }
    }
    false
}

/// Whether a command can restart the modem, or set how much of it works.
pub(crate) fn restarts(command: &str) -> bool {
    // The second and third letter tell nearly every other command apart.
    let like = matches!(
        command.as_bytes(),
        [_, b'C' | b'c', b'F' | b'f', ..] | [_, b'R' | b'r', b'E' | b'e', ..]
    );
    let named =
        |name: &str| command.get(..name.len()).is_some_and(|c| c.eq_ignore_ascii_case(name));
    like && (named("+CFUN") && command.contains('=') || named("#REBOOT") || named("!RESET"))
}

/// What such a command did, told by its result.
pub(crate) fn effect(command: &str, span: Span, ok: bool, facts: &mut Facts) {
    if !restarts(command) {
        return;
    }
    let upper = command.to_ascii_uppercase().replace(' ', "");
    if let Some(rest) = upper.strip_prefix("+CFUN=") {
        let mut parts = rest.split(',');
        let level = parts.next().and_then(|l| l.parse::<u8>().ok());
        let restart = parts.next() == Some("1");
        if restart {
            facts.push(Fact::Power(Power::HostRestart), span);
        } else if let (Some(level), true) = (level, ok) {
            facts.push(Fact::Functionality(level), span);
        }
    } else if ok && (upper.starts_with("#REBOOT") || upper.starts_with("!RESET")) {
        facts.push(Fact::Power(Power::HostRestart), span);
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::case::Power;

    #[test]
    fn a_mark_with_anything_behind_it_is_read_without_a_panic() {
        let case = Case::read(&Capture::new("*ATREADY: 1ýýýýýýýý\nNORMAL POWER DOWN\n"));
        let marks: Vec<_> = case.device.power.all().iter().map(|o| o.value).collect();
        assert_eq!(marks, [Power::Started, Power::Down]);
        let others = Case::read(&Capture::new("+KSUP: 0\n%RDY\n%RDYING\n"));
        assert_eq!(others.device.power.all().len(), 2);
        let words = Case::read(&Capture::new("RDY is what it said before it went away again\n"));
        assert!(words.device.power.all().is_empty());
    }
}
