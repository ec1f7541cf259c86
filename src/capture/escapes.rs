//! Characters: terminal control sequences out, spelled-out controls to what they spell, quotes and
//! blanks of word processors, markup and entities to plain ones.

use super::normal::{Builder, Normal};
use std::cell::LazyCell;

/// The plain form of `text`; borrowed where nothing had to change.
pub(super) fn clean(text: &str) -> Normal<'_> {
    let normal = Normal::same(text);
    if normal.is_paste() && !may_change(&normal) {
        return normal;
    }
    let bytes = text.as_bytes();
    let mail = LazyCell::new(|| memchr::memmem::find(bytes, b"=3D").is_some());
    let mut builder: Option<Builder<'_>> = None;
    let mut copied = 0;
    let mut at = 0;
    while let Some(next) = next_special(bytes, at) {
        at = next;
        match special(text, at, &|| *mail) {
            Some((len, with)) => {
                let b = builder.get_or_insert_with(|| Builder::new(text));
                b.copy(copied, at);
                b.replace(at, with);
                at += len;
                copied = at;
            }
            None => at += char_len(bytes[at]),
        }
    }
    match builder {
        None => normal,
        Some(mut b) => {
            b.copy(copied, bytes.len());
            b.finish()
        }
    }
}

/// Whether a line holds anything that may not be plain; one that is known at a glance holds nothing
/// of the kind. A cheap look before the costly one.
fn may_change(normal: &Normal<'_>) -> bool {
    normal.unknown_lines().any(|line| next_special(line.of(normal.text()).as_bytes(), 0).is_some())
}

/// Whether a byte may begin something that is not plain: a control, one of `&'(<=[\^{` or a byte
/// outside ASCII. Signs that differ in one bit are compared together, which counts where sixteen
/// bytes are compared at once.
pub(super) const fn may_be_special(b: u8) -> bool {
    (b < 0x20 && b != b'\t' && b != b'\n' && b != b'\r')
        || b & !0x01 == b'&'
        || b == b'('
        || b & !0x01 == b'<'
        || b & !0x20 == b'['
        || b & !0x02 == b'\\'
        || b >= 0x7f
}

const SPECIAL: [bool; 256] = by_byte!(false, |b| may_be_special(b));

/// Whether no byte of a block is special: the comparisons run side by side.
fn is_plain(block: &[u8]) -> bool {
    !block.iter().fold(false, |any, &b| any | may_be_special(b))
}

fn next_special(bytes: &[u8], from: usize) -> Option<usize> {
    // Blocks without any are passed over as a whole.
    fn plain_blocks(bytes: &[u8], size: usize) -> usize {
        size * bytes.chunks_exact(size).take_while(|block| is_plain(block)).count()
    }
    let from = from + plain_blocks(&bytes[from..], 64);
    let from = from + plain_blocks(&bytes[from..], 16);
    // The rest is looked at together with what stands before it.
    if bytes.len() - from < 16 && bytes.last_chunk::<16>().is_some_and(|last| is_plain(last)) {
        return None;
    }
    bytes[from..].iter().position(|&b| SPECIAL[usize::from(b)]).map(|i| from + i)
}

const fn char_len(first: u8) -> usize {
    match first {
        0xf0.. => 4,
        0xe0.. => 3,
        0xc0.. => 2,
        _ => 1,
    }
}

/// What begins at `at`: its length, and what stands for it in the plain text; `mail` where the text
/// went through a mail program's coding.
fn special(text: &str, at: usize, mail: &dyn Fn() -> bool) -> Option<(usize, &'static str)> {
    let rest = &text[at..];
    let bytes = rest.as_bytes();
    match bytes[0] {
        0x1b => Some((escape_len(bytes), "")),
        b'<' => angle(rest),
        b'[' | b'{' | b'(' => bracketed_control(rest),
        b'&' => entity(rest),
        b'\\' => backslash(rest, text[..at].ends_with(['\n', '\r'])),
        b'^' => caret(rest),
        b'=' if mail() => quoted_printable(rest),
        b'=' => None,
        // The pieces of a list of strings, as interpreters print it, are lines.
        b'\'' => {
            ["', b'", "', '", "','"].iter().find(|s| rest.starts_with(**s)).map(|s| (s.len(), "\n"))
        }
        b if b < 0x20 || b == 0x7f => Some((1, "")),
        _ => rest.chars().next().and_then(|c| Some((c.len_utf8(), wide(c)?))),
    }
}

/// What mail programs write for an equals sign, and then for other characters too (RFC 2045 §6.7).
fn quoted_printable(rest: &str) -> Option<(usize, &'static str)> {
    const CODED: [(&str, &str); 7] = [
        ("=3D", "="),
        ("=\r\n", ""),
        ("=\n", ""),
        ("=20", " "),
        ("=22", "\""),
        ("=0D", "\r"),
        ("=0A", "\n"),
    ];
    let (written, plain) = CODED.iter().find(|(written, _)| rest.starts_with(written))?;
    Some((written.len(), *plain))
}

/// The length of a terminal control sequence (ECMA-48 §5.4, §8.3.89).
fn escape_len(bytes: &[u8]) -> usize {
    match bytes.get(1) {
        Some(b'[') => {
            let body = bytes[2..].iter().take(64).take_while(|b| (0x20..0x40).contains(*b)).count();
            // The final byte belongs to the sequence; without one, the line was cut here.
            2 + body + usize::from(bytes.get(2 + body).is_some_and(|b| (0x40..0x7f).contains(b)))
        }
        Some(b']' | b'P' | b'X' | b'^' | b'_') => {
            let end = bytes.iter().take(512).position(|&b| b == 0x07 || b == b'\n');
            let st = bytes.windows(2).take(512).position(|w| w == b"\x1b\\").filter(|&i| i > 0);
            match (end, st) {
                (Some(e), Some(s)) if s < e => s + 2,
                (Some(e), _) => e + usize::from(bytes[e] == 0x07),
                (None, Some(s)) => s + 2,
                (None, None) => 2,
            }
        }
        Some(b) if (0x20..0x7f).contains(b) => 2,
        _ => 1,
    }
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

fn bracketed_control(rest: &str) -> Option<(usize, &'static str)> {
    let close = match rest.as_bytes()[0] {
        b'[' => b']',
        b'{' => b'}',
        b'(' => b')',
        _ => b'>',
    };
    let end = rest.bytes().take(9).position(|b| b == close)?;
    Some((end + 1, control_name(&rest[1..end])?))
}

fn angle(rest: &str) -> Option<(usize, &'static str)> {
    bracketed_control(rest).or_else(|| tag(rest))
}

/// A tag of HTML; block tags end a line.
fn tag(rest: &str) -> Option<(usize, &'static str)> {
    const BLOCK: &[&str] = &[
        "br",
        "p",
        "div",
        "pre",
        "tr",
        "li",
        "ul",
        "ol",
        "table",
        "tbody",
        "blockquote",
        "h1",
        "h2",
        "h3",
        "hr",
        "html",
        "body",
    ];
    const INLINE: &[&str] = &[
        "b", "i", "u", "em", "strong", "span", "code", "a", "tt", "font", "td", "th", "kbd",
        "samp", "sub", "sup", "small", "mark", "del", "ins", "img",
    ];
    let inner = rest[1..].strip_prefix('/').unwrap_or(&rest[1..]);
    let word = inner.bytes().take(11).take_while(u8::is_ascii_alphanumeric).count();
    let name = &inner[..word];
    let known = |list: &[&str]| list.iter().any(|n| name.eq_ignore_ascii_case(n));
    let with = if known(BLOCK) {
        "\n"
    } else if known(INLINE) {
        ""
    } else {
        return None;
    };
    // After the name comes an attribute or the end, never more of a word.
    if !inner[word..].starts_with(['>', ' ', '/']) {
        return None;
    }
    let end = rest.bytes().take(400).position(|b| b == b'>' || b == b'\n')?;
    (rest.as_bytes()[end] == b'>').then_some((end + 1, with))
}

fn entity(rest: &str) -> Option<(usize, &'static str)> {
    const NAMED: &[(&str, &str)] = &[
        ("&lt;CR&gt;", "\r"),
        ("&lt;LF&gt;", "\n"),
        ("&lt;cr&gt;", "\r"),
        ("&lt;lf&gt;", "\n"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&amp;", "&"),
        ("&quot;", "\""),
        ("&apos;", "'"),
        ("&nbsp;", " "),
        ("&ldquo;", "\""),
        ("&rdquo;", "\""),
        ("&#13;", "\r"),
        ("&#10;", "\n"),
        ("&#34;", "\""),
        ("&#39;", "'"),
        ("&#43;", "+"),
        ("&#x27;", "'"),
        ("&#x22;", "\""),
        ("&#xD;", "\r"),
        ("&#xA;", "\n"),
        ("&#160;", " "),
    ];
    NAMED.iter().find(|(n, _)| rest.starts_with(n)).map(|&(n, with)| (n.len(), with))
}

fn backslash(rest: &str, after_line_end: bool) -> Option<(usize, &'static str)> {
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
    if let Some(&(spelled, with)) = LONG.iter().find(|(s, _)| rest.starts_with(s)) {
        return Some((spelled.len(), with));
    }
    let with = match rest.as_bytes().get(1)? {
        b'r' => "\r",
        b'n' => "\n",
        b't' => "\t",
        _ => return None,
    };
    // `C:\new` is a path: a small letter behind the escape, and no line end before it.
    let small = rest.as_bytes().get(2).is_some_and(u8::is_ascii_lowercase);
    (!small || after_line_end).then_some((2, with))
}

fn caret(rest: &str) -> Option<(usize, &'static str)> {
    let with = match rest.as_bytes().get(1)? {
        b'M' => "\r",
        b'J' => "\n",
        _ => return None,
    };
    // `^MONSC` and its like are commands; a control stands at the end or before a new message.
    let after = &rest[2..];
    let ends = after.bytes().next().is_none_or(|b| !b.is_ascii_alphanumeric());
    (ends || after.starts_with("AT") || after.starts_with("OK")).then_some((2, with))
}

/// What stands for a character outside ASCII; `None` where it stays.
fn wide(c: char) -> Option<&'static str> {
    const FULL: &str = "!\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~";
    Some(match c {
        '\u{a0}' | '\u{2000}'..='\u{200a}' | '\u{202f}' | '\u{205f}' | '\u{3000}' => " ",
        '\u{201c}'..='\u{201f}' | '«' | '»' | '″' | '〝' | '〞' => "\"",
        '\u{2018}'..='\u{201b}' => "'",
        '‐' | '‑' | '‒' | '–' | '−' => "-",
        '\u{240d}' | '♪' => "\r",
        '\u{240a}' | '\u{2424}' | '↵' | '⏎' | '↲' | '◙' | '\u{2028}' | '\u{2029}' | '\u{85}' => {
            "\n"
        }
        '\u{80}'..='\u{9f}'
        | '\u{ad}'
        | '\u{200b}'..='\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{2069}'
        | '\u{feff}'
        | '\u{2400}'..='\u{2423}' => "",
        '\u{ff01}'..='\u{ff5e}' => {
            let at = c as usize - 0xff01;
            &FULL[at..=at]
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn plain(text: &str) -> String {
        clean(text).text().to_owned()
    }

    #[test]
    fn clean_text_is_not_copied() {
        assert!(matches!(clean("AT+CSQ\r\n+CSQ: 17,99\r\n"), n if n.text().len() == 21));
    }

    #[test]
    fn controls_spelled_in_any_usual_way_become_line_ends() {
        for spelled in [
            "<CR><LF>",
            "<cr><ln>",
            "[CR][LF]",
            "\\r\\n",
            "^M^J",
            "␍␊",
            "<0D><0A>",
            "\\x0d\\x0a",
            "<0x0D><0x0A>",
            "&lt;CR&gt;&lt;LF&gt;",
            "{CR}{LF}",
            "♪◙",
        ] {
            assert_eq!(plain(&format!("AT{spelled}OK")), "AT\r\nOK", "{spelled}");
        }
    }

    #[test]
    fn a_path_and_a_makers_command_are_not_controls() {
        assert_eq!(plain("C:\\new\\readme"), "C:\\new\\readme");
        assert_eq!(plain("AT^MONSC"), "AT^MONSC");
        assert_eq!(plain("+CBAND: <n>,[1]"), "+CBAND: <n>,[1]");
    }

    #[test]
    fn terminal_sequences_leave_no_trace() {
        assert_eq!(plain("\x1b[1;32mOK\x1b[0m\x1b]0;title\x07!"), "OK!");
        assert_eq!(plain("a\x1b[2"), "a");
    }

    #[test]
    fn word_processors_quotes_and_blanks_become_plain() {
        assert_eq!(plain("AT+CGDCONT=1,“IP”,“net”\u{a0}"), "AT+CGDCONT=1,\"IP\",\"net\" ");
    }

    #[test]
    fn markup_goes_and_block_tags_end_lines() {
        assert_eq!(plain("<p>+CSQ: 1,99<br/>OK</p><b>x</b>"), "\n+CSQ: 1,99\nOK\nx");
    }

    proptest! {
        #[test]
        fn every_range_of_plain_text_leads_into_the_original(text in "\\PC{0,60}|[<CR>LF\\[\\]rnx0aAT+^M ]{0,60}") {
            let normal = clean(&text);
            for at in 0..normal.text().len() {
                let origin = normal.origin(crate::span::Span::new(at, at + 1));
                prop_assert!(origin.start <= origin.end && origin.end <= text.len());
            }
        }
    }
}
