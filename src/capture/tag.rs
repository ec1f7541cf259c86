//! What a line's marks say about which device it is of: a port, a numbered name, a host, an instance of a program,
//! a prompt, a tag in brackets; and headings that begin the part of another device.
//!
//! ```text
//! ttyUSB2: AT+CPIN?      modem2> OK      hut celld[812]: +CEREG: 0,3      [north] AT      Board B:
//! ```
//!
//! Common practice, no source.

use std::ops::Range;

/// What kind of thing a tag names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A numbered device: `modem2`, `unit A`.
    Device,
    /// A heading over a part: `The other board:`.
    Heading,
    /// The machine of a system's log.
    Host,
    /// A port or interface: `ttyUSB2`, `COM5`, `wwan1`.
    Port,
    /// A prompt or a tag in brackets at the start of a line.
    Mark,
    /// A running program: `celld[812]`.
    Instance,
}

/// All kinds, the surest first.
pub(crate) const KINDS: [Kind; 6] =
    [Kind::Device, Kind::Heading, Kind::Host, Kind::Port, Kind::Mark, Kind::Instance];

/// A tag of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tag {
    /// What it names.
    pub kind: Kind,
    /// The name, in small letters.
    pub name: String,
}

/// So far into a line tags are looked for.
const FAR: usize = 72;

/// What is numbered or lettered where several are spoken of.
const NOUNS: [&str; 17] = [
    "modem", "modems", "module", "device", "dev", "unit", "board", "gateway", "gw", "router",
    "site", "node", "dut", "mdm", "station", "dongle", "stick",
];

/// What a heading speaks of besides.
const PARTS: [&str; 6] = ["card", "sim", "simcard", "one", "box", "system"];

/// What tells one of several from the others.
const TELLS: [&str; 29] = [
    "other",
    "another",
    "second",
    "first",
    "third",
    "fourth",
    "1st",
    "2nd",
    "3rd",
    "new",
    "old",
    "good",
    "bad",
    "working",
    "failing",
    "faulty",
    "broken",
    "healthy",
    "spare",
    "reference",
    "left",
    "right",
    "upper",
    "lower",
    "dead",
    "next",
    "replacement",
    "customer's",
    "neighbour's",
];

/// The tags of a line, at most one of a kind.
pub(crate) fn find(line: &str, found: &mut Vec<Tag>) {
    found.clear();
    if let Some(name) = heading(line) {
        found.push(Tag { kind: Kind::Heading, name });
        return;
    }
    // A list of the bus: its devices are no modems with a number.
    if line.trim_start().starts_with("Bus ") {
        return;
    }
    let head = head(line);
    let mut keep = |kind: Kind, name: &str| {
        if !found.iter().any(|tag| tag.kind == kind) {
            found.push(Tag { kind, name: name.to_ascii_lowercase() });
        }
    };
    let tokens: Vec<Range<usize>> = tokens(head);
    for (n, token) in tokens.iter().enumerate() {
        let word = &head[token.clone()];
        if is_port(word) && delimited(line, token.end) {
            keep(Kind::Port, word);
        } else if is_numbered(word) && delimited(line, token.end) {
            keep(Kind::Device, word);
        } else if let Some(next) = tokens.get(n + 1)
            && noun(word)
            && matches!(&head[token.end..next.start], " " | " #" | "#")
            && (is_index(&head[next.clone()]))
            && delimited(line, next.end)
        {
            keep(Kind::Device, &head[token.start..next.end].replace(['#', ' '], ""));
        } else if let Some(next) = tokens.get(n + 1)
            && &head[token.end..next.start] == "["
            && head[next.clone()].bytes().all(|b| b.is_ascii_digit())
            && line[next.end..].starts_with("]:")
        {
            keep(Kind::Instance, &head[token.start..next.end]);
            if let Some(before) = n.checked_sub(1).map(|n| &tokens[n])
                && &head[before.end..token.start] == " "
                && head[before.clone()].bytes().any(|b| b.is_ascii_alphabetic())
                && before.start > 0
            {
                keep(Kind::Host, &head[before.clone()]);
            }
        }
    }
    if let Some(mark) = mark(line).or_else(|| numbered_word(line)).or_else(|| label(line)) {
        keep(Kind::Mark, mark);
    }
}

/// The part of a line in which marks stand: what comes before the first sign of a response or command.
fn head(line: &str) -> &str {
    let bytes = &line.as_bytes()[..line.len().min(FAR)];
    let sign = bytes.windows(2).position(|pair| {
        matches!(pair[0], b'+' | b'^' | b'%' | b'!') && pair[1].is_ascii_uppercase()
            || pair == b"AT"
    });
    let mut end = sign.unwrap_or(bytes.len());
    while !line.is_char_boundary(end) {
        end -= 1;
    }
    &line[..end]
}

/// Where the words of a text stand.
fn tokens(text: &str) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        let inside = c.is_alphanumeric() || matches!(c, '_' | '-' | '.');
        match (inside, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                out.push(from..at);
                start = None;
            }
            _ => {}
        }
    }
    out.extend(start.map(|from| from..text.len()));
    out
}

/// Whether a mark ends here: a sign behind it, or the message.
fn delimited(line: &str, end: usize) -> bool {
    let rest = &line[end..];
    let behind = rest.trim_start_matches(' ');
    rest.starts_with([':', ']', ')', '>', '|', '$', '<', '/', ',', '"'])
        || behind.starts_with([':', '>', '|', '<', '-', '='])
        || rest.starts_with(' ')
            && (behind.starts_with(['+', '^', '%', '!'])
                || ["AT", "OK", "ERROR", "TX", "RX", "tx", "rx", "\"", "'"]
                    .iter()
                    .any(|message| behind.starts_with(message)))
}

fn noun(word: &str) -> bool {
    NOUNS.iter().any(|noun| word.eq_ignore_ascii_case(noun))
}

/// A number of at most three digits, or one letter.
fn is_index(word: &str) -> bool {
    let digits = word.bytes().all(|b| b.is_ascii_digit()) && matches!(word.len(), 1..=3);
    digits || word.len() == 1 && word.bytes().all(|b| b.is_ascii_alphabetic())
}

/// `modem2`, `unit-B`, `gw_03`.
fn is_numbered(word: &str) -> bool {
    let letters = word.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (name, rest) = word.split_at(letters);
    let index = rest.trim_start_matches(['-', '_']);
    !index.is_empty()
        && (index.len() < rest.len() || index.starts_with(|c: char| c.is_ascii_digit()))
        && is_index(index)
        && noun(name)
}

/// A serial port's or interface's name.
fn is_port(word: &str) -> bool {
    const STEMS: [&str; 12] = [
        "ttyUSB", "ttyACM", "ttyAMA", "ttySC", "ttyO", "ttyS", "ttymxc", "COM", "cdc-wdm", "wwan",
        "UART", "uart",
    ];
    let numbered = word.ends_with(|c: char| c.is_ascii_digit());
    numbered
        && STEMS.iter().any(|stem| {
            word.strip_prefix(stem).is_some_and(|number| {
                matches!(number.len(), 1..=3) && number.bytes().all(|b| b.is_ascii_digit())
            })
        })
}

/// A prompt or a tag in brackets with which a line begins: `north> `, `[north] `.
fn mark(line: &str) -> Option<&str> {
    let line = line.trim_start();
    let (name, rest) = match line.strip_prefix('[') {
        Some(inner) => inner.split_once(']')?,
        None => line.split_once('>').filter(|(name, _)| !name.contains('<'))?,
    };
    let named = matches!(name.len(), 2..=24)
        && name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.' | b'@'));
    let levels = [
        "debug", "info", "warn", "warning", "error", "err", "trace", "tx", "rx", "send", "sent",
        "recv", "received", "read", "write", "at", "in", "out", "host", "modem", "notice", "fatal",
        "dbg", "inf", "wrn", "cr", "lf", "cmd", "rsp", "resp", "urc",
    ];
    (named && !rest.trim().is_empty() && !levels.contains(&&*name.to_ascii_lowercase()))
        .then_some(name)
}

/// `m0` behind a log's time: the first word of a message, letters with a number.
fn numbered_word(line: &str) -> Option<&str> {
    let marks = super::log_marks::length(line);
    let word = line[marks..].split(' ').next().filter(|_| marks > 7)?;
    let word = word.trim_end_matches(':');
    let letters = word.bytes().take_while(u8::is_ascii_lowercase).count();
    let digits = word.len() - letters;
    let numbered = (1..=6).contains(&letters)
        && matches!(digits, 1 | 2)
        && word[letters..].bytes().all(|b| b.is_ascii_digit());
    (numbered && !word.starts_with("eth") && !is_port(word)).then_some(word)
}

/// `M1: `, `slot0 `, `B> `, `left: ` before a command, a response or a result.
fn label(line: &str) -> Option<&str> {
    let line = &line[super::log_marks::length(line).min(line.len())..];
    let line = line.trim_start_matches(['[', '(', ' ']);
    let word = &line[..line.find(|c: char| !c.is_ascii_alphanumeric())?];
    let letters = word.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (name, digits) = word.split_at(letters);
    let numbered = (1..=10).contains(&letters) && matches!(digits.len(), 1 | 2);
    let named = digits.is_empty()
        && (letters == 1 || TELLS.iter().any(|tells| name.eq_ignore_ascii_case(tells)));
    let message = line[word.len()..].trim_start_matches([' ', ':', '>', '|', ']', ')', '<', '-']);
    let glued = message.len() + word.len() == line.len();
    let said = ["AT", "+", "^", "OK", "ERROR"].iter().any(|start| message.starts_with(start));
    let numbers = digits.bytes().all(|b| b.is_ascii_digit());
    ((numbered && numbers || named) && said && !glued && name != "AT").then_some(word)
}

/// What a heading over the part of one of several devices tells it by: `board b`, `other`.
fn heading(line: &str) -> Option<String> {
    const LONGEST: usize = 90;
    let text = line.trim();
    let decorated = text.starts_with(['#', '=', '*', '-', '~']);
    if text.len() > LONGEST || !(text.ends_with(':') || decorated) || text.len() < 4 {
        return None;
    }
    let inner = text.trim_matches(['#', '=', '*', '-', '~', ' ', ':', '_', '>', '[', ']']);
    if inner.is_empty() || inner.contains([':', '+', '=', '?', '"', '^', '%', ';', '/']) {
        return None;
    }
    let lower = inner.to_ascii_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !(c.is_alphanumeric() || c == '\'' || c == '-')).collect();
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    if words.is_empty() || words.len() > 9 {
        return None;
    }
    // `Board 2`, `site A`, `the modem number 3`
    let numbered = words.iter().enumerate().find_map(|(n, word)| {
        let at = n + 1 + usize::from(matches!(words.get(n + 1), Some(&("no" | "number" | "nr"))));
        let index = words.get(at).filter(|index| is_index(index) && **index != "s")?;
        // "a" before a noun is an article.
        let article = *index == "a" && words.len() > at + 1;
        (noun(word) && !article).then(|| format!("{word} {index}"))
    });
    if numbered.is_some() {
        return numbered;
    }
    if let Some(word) = words.iter().find(|word| is_numbered(word)) {
        return Some((*word).to_owned());
    }
    let named = words.iter().find_map(|word| noun(word).then_some(*word));
    let part = || words.iter().find_map(|word| PARTS.contains(word).then_some(*word));
    let what = named.or_else(part)?;
    let denied = words.contains(&"not");
    let tells = words.iter().find(|word| TELLS.contains(word))?;
    // `same modem, new firmware`: what is new is no device.
    let before = words.iter().position(|word| word == tells)?;
    let at = words.iter().position(|word| *word == what)?;
    (before < at && at < before + 3)
        .then(|| format!("{}{tells} {what}", if denied { "not " } else { "" }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tag(line: &str, kind: Kind) -> Option<String> {
        let mut found = Vec::new();
        find(line, &mut found);
        found.into_iter().find(|tag| tag.kind == kind).map(|tag| tag.name)
    }

    #[test]
    fn marks_name_a_device() {
        for (line, kind, name) in [
            ("ttyUSB2: AT+CPIN?", Kind::Port, "ttyusb2"),
            ("/dev/ttyUSB6 < OK", Kind::Port, "ttyusb6"),
            ("12:00:01 COM5 TX: AT", Kind::Port, "com5"),
            ("[wwan1] +CEREG: 2", Kind::Port, "wwan1"),
            ("modem2> AT+CPIN?", Kind::Device, "modem2"),
            ("[modem-b] +CEREG: 0,3", Kind::Device, "modem-b"),
            ("(unit 7) OK", Kind::Device, "unit7"),
            ("Mar  4 10:00:01 hut celld[812]: +CEREG: 0,3", Kind::Instance, "celld[812"),
            ("Mar  4 10:00:01 hut celld[812]: +CEREG: 0,3", Kind::Host, "hut"),
            ("north> AT+CSQ", Kind::Mark, "north"),
            ("[south] OK", Kind::Mark, "south"),
            ("M1: AT+CEREG?", Kind::Mark, "m1"),
            ("slot0 +CEREG: 0,3", Kind::Mark, "slot0"),
            ("B> OK", Kind::Mark, "b"),
            ("left: AT+CSQ", Kind::Mark, "left"),
            ("2026-09-30 23:58:01 m0 registered home 001-01", Kind::Mark, "m0"),
            ("Board B:", Kind::Heading, "board b"),
            ("=== site 2 ===", Kind::Heading, "site 2"),
            ("Another device:", Kind::Heading, "another device"),
            ("On the bad board:", Kind::Heading, "bad board"),
            ("and with the other card I get:", Kind::Heading, "other card"),
            ("the second modem says:", Kind::Heading, "second modem"),
        ] {
            assert_eq!(tag(line, kind).as_deref(), Some(name), "{line}");
        }
    }

    #[test]
    fn words_dialogue_and_levels_name_none() {
        for line in [
            "+COPS: (2,\"Weir\",\"Weir\",\"00101\",7)",
            "[INFO] AT+CSQ",
            "RX> +CSQ: 17,99",
            "the modem 2 days later",
            "Now the modem says:",
            "after a new firmware:",
            "same modem, new antenna:",
            "usb 1-1: GSM modem (1-port) converter now attached to ttyUSB0",
            "Bus 001 Device 005: ID 0000:0021 Modem",
            "OK",
            "+CME ERROR: 10",
            "Another question:",
            "The modem is a new one and the antenna is outside, what can it be",
        ] {
            let mut found = Vec::new();
            find(line, &mut found);
            assert_eq!(found, [], "{line}");
        }
    }
}
