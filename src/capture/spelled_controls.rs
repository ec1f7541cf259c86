//! Control characters that a program or a person has spelled out: `<CR><LF>`, `\r\n`, `^M`, `[0D]`.
//! They become what they spell; an escaped quote becomes a quote.

use super::mapped::Edits;

/// Decodes what spells a control character.
pub(super) fn decode(text: &str, edits: &mut Edits<'_>) {
    let mut taken = 0;
    for (at, b) in text.bytes().enumerate() {
        if at < taken {
            continue;
        }
        if b == b'(' && waits(&text[..at]) {
            taken = text[at..].find([')', '\n']).map_or(text.len(), |end| at + end);
            continue;
        }
        let rest = &text.as_bytes()[at..];
        let found = match b {
            b'<' | b'[' | b'{' | b'(' => bracketed(rest),
            b'\\' => backslash(rest, ends_value(&text[..at]) || taken == at),
            b'/' => slashes(rest),
            b'^' => caret(rest),
            b'\'' => between_strings(rest),
            _ => None,
        };
        if let Some((len, with)) = found {
            edits.replace(at..at + len, with);
            taken = at + len;
        }
    }
}

/// What a dialler's script waits for stays as it is written: `abort on (\nNO CARRIER\r)`.
fn waits(before: &str) -> bool {
    ["abort on ", "abort ", "expect ", "say "].iter().any(|word| before.ends_with(word))
}

/// A line end with the wrong stroke: `/r/n`.
fn slashes(rest: &[u8]) -> Option<(usize, &'static str)> {
    rest.starts_with(b"/r/n").then_some((4, "\r\n"))
}

/// The pieces of a list of strings, as interpreters print it, are lines.
fn between_strings(rest: &[u8]) -> Option<(usize, &'static str)> {
    ["', b'", "', '", "','"]
        .iter()
        .find(|s| rest.starts_with(s.as_bytes()))
        .map(|s| (s.len(), "\n"))
}

/// The control that a name spells: `CR`, `0x0A`, `ESC` …
fn control_name(name: &str) -> Option<&'static str> {
    const NAMES: &[(&str, &str)] = &[
        ("cr", "\r"),
        ("lf", "\n"),
        ("ln", "\n"),
        ("nl", "\n"),
        ("crlf", "\r\n"),
        ("cr/lf", "\r\n"),
        ("cr lf", "\r\n"),
        ("cr+lf", "\r\n"),
        ("return", "\r"),
        ("enter", "\r"),
        ("tab", "\t"),
        ("ht", "\t"),
        ("nul", ""),
        ("esc", ""),
        ("bel", ""),
        ("eot", ""),
        ("sub", ""),
        ("ctrl-z", ""),
        ("del", ""),
    ];
    if let Some(&(_, with)) = NAMES.iter().find(|(n, _)| name.eq_ignore_ascii_case(n)) {
        return Some(with);
    }
    let hex = name.strip_prefix("0x").or_else(|| name.strip_prefix("0X")).unwrap_or(name);
    if hex.len() != 2 {
        return None;
    }
    match u8::from_str_radix(hex, 16).ok()? {
        0x0d => Some("\r"),
        0x0a => Some("\n"),
        0x09 => Some("\t"),
        // `[10]` and `<20>` are counters as often as controls.
        b if b < 0x20 && hex.starts_with('0') && name.len() == 4 => Some(""),
        _ => None,
    }
}

/// A name of a control in brackets.
fn bracketed(rest: &[u8]) -> Option<(usize, &'static str)> {
    let close = match rest[0] {
        b'[' => b']',
        b'{' => b'}',
        b'(' => b')',
        _ => b'>',
    };
    let end = rest.iter().take(9).position(|&b| b == close)?;
    Some((end + 1, control_name(std::str::from_utf8(&rest[1..end]).ok()?)?))
}

fn backslash(rest: &[u8], behind_value: bool) -> Option<(usize, &'static str)> {
    const LONG: &[(&str, &str)] = &[
        ("\\x0d", "\r"),
        ("\\x0D", "\r"),
        ("\\x0a", "\n"),
        ("\\x0A", "\n"),
        ("\\x00", ""),
        ("\\u000d", "\r"),
        ("\\u000D", "\r"),
        ("\\u000a", "\n"),
        ("\\u000A", "\n"),
        ("\\015", "\r"),
        ("\\012", "\n"),
        ("\\\"", "\""),
        ("\\\\r", "\r"),
        ("\\\\n", "\n"),
    ];
    if let Some(&(spelled, with)) = LONG.iter().find(|(s, _)| rest.starts_with(s.as_bytes())) {
        return Some((spelled.len(), with));
    }
    let with = match rest.get(1)? {
        b'r' => "\r",
        b'n' => "\n",
        b't' => "\t",
        _ => return None,
    };
    // `C:\new` is a path: a small letter behind the escape, and no complete value before it.
    let small = rest.get(2).is_some_and(u8::is_ascii_lowercase);
    (!small || behind_value).then_some((2, with))
}

/// Whether a text ends as a response or a line does: with a number, a quote, a word in capitals.
fn ends_value(text: &str) -> bool {
    let last = text.bytes().last();
    last.is_none_or(|b| b.is_ascii_digit() || b.is_ascii_uppercase() || b"\n\r\"')?".contains(&b))
}

fn caret(rest: &[u8]) -> Option<(usize, &'static str)> {
    let with = match rest.get(1)? {
        b'M' => "\r",
        b'J' => "\n",
        _ => return None,
    };
    // `^MONSC` and its like are commands; a control stands at the end or before a new message.
    let after = &rest[2..];
    let ends = after.first().is_none_or(|b| !b.is_ascii_alphanumeric());
    (ends || after.starts_with(b"AT") || after.starts_with(b"OK")).then_some((2, with))
}

#[cfg(test)]
mod tests {
    use crate::capture::mapped::MappedText;

    fn plain(text: &str) -> String {
        MappedText::original(text).edited(super::decode).text().to_owned()
    }

    #[test]
    fn controls_spelled_in_any_usual_way_become_line_ends() {
        for spelled in [
            "<CR><LF>",
            "<cr><ln>",
            "[CR][LF]",
            "\\r\\n",
            "^M^J",
            "<0D><0A>",
            "\\x0d\\x0a",
            "<0x0D><0x0A>",
            "{CR}{LF}",
            "/r/n",
        ] {
            assert_eq!(plain(&format!("AT{spelled}OK")), "AT\r\nOK", "{spelled}");
        }
    }

    #[test]
    fn a_path_and_a_makers_command_are_not_controls() {
        assert_eq!(plain("C:\\new\\readme"), "C:\\new\\readme");
        assert_eq!(plain("+CSQ: 17,99\\r\\nok"), "+CSQ: 17,99\r\nok");
        assert_eq!(plain("AT^MONSC"), "AT^MONSC");
        assert_eq!(plain("+CBAND: <n>,[1]"), "+CBAND: <n>,[1]");
    }
}
