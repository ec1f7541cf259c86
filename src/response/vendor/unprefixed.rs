//! Replies whose prefix is missing: some modems print none, and pastes lose it. They are known by
//! what was asked, or by a first line that no other reply has.

use super::{
    band, cifsr, cipstatus, gstatus, gtcainfo, gtccinfo, impref, lteinfo, nuestats, pcinfo, selrat,
    sensor,
};
use crate::capture::{Ending, Exchange, Line};
use crate::case::{Fact, Facts};
use crate::response::{ContinuationLine, Family, Form, Response};

/// A family whose reply may stand without its prefix.
struct Unprefixed {
    family: &'static Family,
    /// The prefix that it would have, which is also the request.
    prefix: &'static str,
    /// Whether a line can begin such a reply and no other; it has a colon or begins with a digit.
    begins: fn(&str) -> bool,
}

/// For replies that only their request tells.
const fn never(_: &str) -> bool {
    false
}

const KNOWN: &[Unprefixed] = &[
    Unprefixed { family: &nuestats::FAMILY, prefix: "+NUESTATS", begins: nuestats::begins },
    Unprefixed { family: &lteinfo::FAMILY, prefix: "!LTEINFO", begins: lteinfo::begins },
    Unprefixed { family: &gstatus::FAMILY, prefix: "!GSTATUS", begins: gstatus::begins },
    Unprefixed { family: &gtccinfo::FAMILY, prefix: "+GTCCINFO", begins: gtccinfo::begins },
    Unprefixed { family: &gtcainfo::FAMILY, prefix: "+GTCAINFO", begins: gtcainfo::begins },
    Unprefixed { family: &pcinfo::FAMILY, prefix: "!PCINFO", begins: pcinfo::begins },
    Unprefixed { family: &sensor::PCTEMP, prefix: "!PCTEMP", begins: never },
    Unprefixed { family: &sensor::PCVOLT, prefix: "!PCVOLT", begins: never },
    Unprefixed { family: &impref::FAMILY, prefix: "!IMPREF", begins: never },
    Unprefixed { family: &impref::FAMILY, prefix: "!GOBIIMPREF", begins: never },
    Unprefixed { family: &cifsr::FAMILY, prefix: "+CIFSR", begins: never },
    Unprefixed { family: &cipstatus::FAMILY, prefix: "+CIPSTATUS", begins: cipstatus::begins },
    Unprefixed { family: &band::FAMILY, prefix: "!BAND", begins: never },
    Unprefixed { family: &selrat::FAMILY, prefix: "!SELRAT", begins: never },
];

/// What a stack says of a socket in words alone, with the number of the socket before them or without; from memory.
const WORDS: &[(&str, &[Fact])] = &[
    ("CONNECT OK", &[Fact::Traffic(true)]),
    ("ALREADY CONNECT", &[Fact::Traffic(true)]),
    ("CONNECT FAIL", &[Fact::Traffic(false)]),
    ("DNS FAIL", &[Fact::NameResolved(false), Fact::Traffic(false)]),
];

/// Notes what a line of words says of a socket: `0, CONNECT OK`.
fn socket(line: &Line<'_>, facts: &mut Facts) {
    let numbered = line.text.split_once(',').filter(|(n, _)| n.trim().parse::<u8>().is_ok());
    let words = numbered.map_or(line.text, |(_, words)| words).trim();
    let said = WORDS.iter().find(|(known, _)| known.eq_ignore_ascii_case(words));
    for fact in said.map_or(&[][..], |(_, facts)| facts) {
        facts.push(fact.clone(), line.span);
    }
}

/// Reads the plain lines of an exchange as a reply that lost its prefix.
pub(crate) fn read(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let plain = || exchange.lines.iter().filter(|l| l.prefix.is_empty());
    if plain().next().is_none() {
        return;
    }
    for line in plain() {
        socket(line, facts);
    }
    let asked = |prefix: &str| {
        exchange.command.is_some_and(|c| {
            c.get(..prefix.len()).is_some_and(|c| c.eq_ignore_ascii_case(prefix))
                && !c[prefix.len()..].starts_with(|c: char| c.is_ascii_alphanumeric())
        })
    };
    let answered = |family: &Family| {
        exchange
            .lines
            .iter()
            .any(|l| family.prefixes.iter().any(|prefix| l.prefix.eq_ignore_ascii_case(prefix)))
    };
    // Every one begins with a label or a number; most sentences have neither.
    let labelled = |text: &str| {
        text.as_bytes().first().is_some_and(u8::is_ascii_digit)
            || memchr::memchr(b':', text.as_bytes()).is_some()
    };
    let found = KNOWN.iter().find(|k| asked(k.prefix)).or_else(|| {
        let lines: Vec<&str> =
            plain().map(|l| l.text.trim_start()).filter(|text| labelled(text)).collect();
        KNOWN.iter().find(|k| lines.iter().any(|line| (k.begins)(line)))
    });
    let Some(known) = found.filter(|k| !answered(k.family)) else { return };
    let continuation: Vec<ContinuationLine<'_>> = plain()
        .take(64)
        .map(|l| ContinuationLine {
            text: l.text,
            span: l.span,
            open: l.ending != Ending::Complete,
        })
        .collect();
    let form = match exchange.command {
        Some(command) if asked(known.prefix) && command.ends_with("=?") => Form::Test,
        _ => Form::Read,
    };
    let at = plain().next().map_or(0, |l: &Line<'_>| l.text_at);
    let reply = Response {
        prefix: known.prefix,
        form,
        request: exchange.command.unwrap_or(""),
        body: "",
        body_at: at,
        span: continuation[0].span,
        open: false,
        fields: &crate::response::fields("", at),
        continuation: &continuation,
    };
    // Lines of another kind are kept by the capture; nothing was promised of their form.
    let _ = (known.family.read)(&reply, facts);
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::case::Quantity;

    fn level(text: &str, quantity: Quantity) -> Option<f64> {
        Case::read(&Capture::new(text)).level(quantity).and_then(|(v, _)| v)
    }

    #[test]
    fn a_row_alone_is_known_by_its_shape() {
        let cell = "1,4,001,01,37A6,DEF7AF6,672,1E4,103,100,44,63,63,24";
        assert_eq!(level(cell, Quantity::Rsrp), Some(-78.0));
        assert_eq!(level("PCC:103,280,1424,75,75,1,1,1,3,-107", Quantity::Rsrp), Some(-107.0));
        let labels =
            "PCC RxM RSSI:  -87\t\tPCC RxM RSRP:  -119\nPCC RxD RSSI:  -55\t\tPCC RxD RSRP:  -86\n";
        assert_eq!(level(labels, Quantity::Rsrp), Some(-86.0));
    }

    #[test]
    fn words_tell_of_a_socket() {
        let passed = |text: &str| {
            let case = Case::read(&Capture::new(&format!("AT+CIPSTART=0\nOK\n\n{text}\n")));
            case.path.traffic.latest().map(|o| o.value)
        };
        assert_eq!(passed("CONNECT OK"), Some(true));
        assert_eq!(passed("0, CONNECT FAIL"), Some(false));
        assert_eq!(passed("DNS Fail"), Some(false));
        assert_eq!(passed("CONNECT FAILED at noon, they say"), None);
    }

    #[test]
    fn a_reply_with_its_prefix_is_read_once() {
        let text = "AT+GTCAINFO?\n+GTCAINFO:\nPCC:103,280,1424,75,75,1,1,1,3,-107\nOK\n";
        let case = Case::read(&Capture::new(text));
        let bands =
            case.radio.readings.all().iter().filter(|o| o.value.quantity == Quantity::Band).count();
        assert_eq!(bands, 1);
    }

    #[test]
    fn words_of_people_are_no_reply() {
        let text = "1, 4 and 9 were tried\nPCC: what is that?\nSignal power seems low\n";
        assert!(Case::read(&Capture::new(text)).radio.readings.all().is_empty());
    }
}
