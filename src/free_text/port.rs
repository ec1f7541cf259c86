//! What comes from a port instead of responses, and which program holds it.
//!
//! ```text
//! $GPGGA,120000.00,…*6B          position sentences (NMEA 0183): the wrong port
//! b''                             an interpreter read nothing
//! /dev/ttyUSB2:  1234             a process that holds the port (the output of fuser)
//! prog 1234 root 3u CHR 188,2 … /dev/ttyUSB2        (the columns of lsof)
//! ```

use crate::case::{Fact, Facts, Host};
use crate::span::Span;

/// Reads a line of words.
pub(super) fn read(line: &str, base: usize, facts: &mut Facts) {
    let body = line.trim();
    let host = if is_position_sentence(body) {
        Host::NotAt
    } else if reads_nothing(&body.to_ascii_lowercase()) {
        Host::Silent
    } else if is_held(body) {
        Host::PortBusy
    } else {
        return;
    };
    let start = base + (line.len() - line.trim_start().len());
    facts.push(Fact::Host(host), Span::new(start, start + body.len()));
}

/// `read b''`, `timeout, got ''`, `rx 0 bytes`: a program read the port, and nothing came.
fn reads_nothing(body: &str) -> bool {
    const READS: [&str; 10] = [
        "read", "rx", "recv", "received", "got", "response", "reply", "answer", "returned",
        "reading",
    ];
    let marks = [' ', '\t', ':', '=', ',', '<', '>', '-', '('];
    let reads = |before: &str| {
        let before = before.trim_end_matches(marks);
        before.is_empty()
            || READS.iter().any(|word| {
                before.strip_suffix(word).is_some_and(|head| !head.ends_with(char::is_alphanumeric))
            })
    };
    let literal = ["b''", "b\"\"", "''", "\"\""].iter().find_map(|empty| body.strip_suffix(empty));
    if let Some(before) = literal {
        return reads(before);
    }
    // A count of an interface tells of both directions.
    let counts =
        ["tx", "sent", "packets", "written", "wrote"].iter().any(|word| body.contains(word));
    let count = ["0 bytes", "0 byte", "0 chars", "0 characters"].iter().find_map(|none| {
        let (before, behind) = body.split_once(none)?;
        (!before.ends_with(|c: char| c.is_ascii_alphanumeric() || c == '.'))
            .then_some((before, behind))
    });
    !counts
        && count.is_some_and(|(before, behind)| {
            !before.is_empty() && reads(before) && behind.trim().is_empty()
                || READS.contains(&behind.trim().trim_end_matches('.'))
        })
}

/// A sentence of NMEA 0183 §5.3: `$`, a talker of a satellite receiver and a type in capitals, fields, `*` and a
/// checksum, which may be damaged.
fn is_position_sentence(body: &str) -> bool {
    const TALKERS: [&str; 9] = ["GP", "GN", "GL", "GA", "GB", "BD", "GQ", "QZ", "GI"];
    let Some(at) = body.find('$') else { return false };
    let Some((fields, rest)) = body[at + 1..].split_once('*') else { return false };
    let (Some(name), Some(sum)) = (fields.split(',').next(), rest.get(..2)) else { return false };
    name.len() == 5
        && TALKERS.iter().any(|talker| name.starts_with(talker))
        && name.bytes().all(|b| b.is_ascii_uppercase())
        && sum.bytes().all(|b| b.is_ascii_hexdigit())
}

/// A process that holds the port open, as the system's own tools list it.
fn is_held(body: &str) -> bool {
    let Some(at) = body.find("/dev/tty").or_else(|| body.find("/dev/cdc-wdm")) else {
        return false;
    };
    let words: Vec<&str> = body.split_ascii_whitespace().collect();
    let number = |word: &&str| word.bytes().all(|b| b.is_ascii_digit());
    // `/dev/ttyUSB2:  1234`, with marks of access behind the number.
    let listed = at == 0
        && words[0].ends_with(':')
        && words.len() >= 2
        && words[1..].iter().any(|w| number(&w.trim_end_matches(|c: char| c.is_ascii_lowercase())))
        && words[1..].iter().all(|w| {
            w.starts_with(|c: char| c.is_ascii_digit() || c.is_ascii_alphabetic())
                && !w.ends_with(':')
        })
        && words.len() <= 5;
    // A device file of the major number of serial ports, open for reading and writing.
    let open = words.contains(&"CHR")
        && words.iter().any(|w| w.ends_with('u') && w[..w.len() - 1].parse::<u16>().is_ok());
    listed || open
}

#[cfg(test)]
mod tests {
    use super::*;

    fn host(line: &str) -> Option<Host> {
        let mut facts = Facts::default();
        read(line, 0, &mut facts);
        facts.drain().find_map(|(fact, _)| match fact {
            Fact::Host(host) => Some(host),
            _ => None,
        })
    }

    #[test]
    fn position_sentences_are_no_responses() {
        assert_eq!(host("$GPGGA,120000.00,,,,,0,00,99.9,,,,,,*6B"), Some(Host::NotAt));
        assert_eq!(host("it costs $5, *12"), None);
        assert_eq!(host("$QCRMCALL,x*12"), None);
    }

    #[test]
    fn programs_that_hold_the_port() {
        assert_eq!(host("/dev/ttyUSB2:        1234 gate"), Some(Host::PortBusy));
        assert_eq!(host("gate 1234 root 3u CHR 188,2 0t0 412 /dev/ttyUSB2"), Some(Host::PortBusy));
        assert_eq!(host("/dev/ttyUSB2: No such file or directory"), None);
    }

    #[test]
    fn programs_that_read_nothing() {
        for line in [
            "b''",
            "12:00:01 link.py read: b''",
            "timeout, got ''",
            "probe 3 of 8: rx 0 bytes",
            "0 bytes received",
            "response = \"\"",
        ] {
            assert_eq!(host(line), Some(Host::Silent), "{line}");
        }
        for line in [
            "RX 0 bytes, TX 0 bytes",
            "apn = ''",
            "rx 10 bytes",
            "thread ''",
            "0 bytes of memory left",
            "64 packets, 0 bytes received",
        ] {
            assert_eq!(host(line), None, "{line}");
        }
    }
}
