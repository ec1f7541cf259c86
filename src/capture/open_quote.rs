//! A response that was wrapped within a quoted value: the quote is closed on the next line.
//!
//! ```text
//! +CEREG: 3,3,"00E1","0001A2
//! B3",2,0,11
//! ```

use super::column_wrap::unfinished;
use super::item::Kind;
use super::mapped::Edits;

/// A quoted value is no longer than this.
const LONGEST: usize = 64;

/// Puts such lines together.
pub(super) fn join(text: &str, edits: &mut Edits<'_>) {
    if !text.contains('"') {
        return;
    }
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let body = piece.trim_end_matches(['\n', '\r']);
        let end = from + piece.len();
        let next = text[end..].split(['\n', '\r']).next().unwrap_or("");
        edits.keep(from + body.len());
        if goes_on(body, next) {
            edits.remove(from + body.len()..end);
        }
        from = end;
    }
}

/// Whether the second line closes the quote that the first leaves open, and the value has no blank at the joint.
fn goes_on(line: &str, next: &str) -> bool {
    let odd = |text: &str| text.bytes().filter(|b| *b == b'"').count() % 2 == 1;
    if !odd(line) || !odd(next) {
        return false;
    }
    let (begun, rest) =
        (line.rsplit('"').next().unwrap_or(""), next.split('"').next().unwrap_or(""));
    let part = |text: &str| {
        !text.is_empty()
            && text
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-' | b'_' | b':'))
    };
    let behind = &next[rest.len() + 1..];
    part(begun)
        && part(rest)
        && begun.len() + rest.len() <= LONGEST
        && (behind.trim().is_empty() || behind.starts_with(','))
        && unfinished(line, next)
            .is_some_and(|last| last.kind == Kind::Prefixed && last.end + 2 >= line.len())
}

#[cfg(test)]
mod tests {
    use super::join;
    use crate::capture::mapped::MappedText;

    #[test]
    fn a_value_is_whole_again_or_left_as_it_is() {
        let joined = |text: &str| MappedText::original(text).edited(join).text().to_owned();
        assert_eq!(
            joined("+CEREG: 3,3,\"00E1\",\"0001A2\nB3\",2,0,11\nOK\n"),
            "+CEREG: 3,3,\"00E1\",\"0001A2B3\",2,0,11\nOK\n"
        );
        for text in [
            "+CGDCONT: 1,\"IP\",\"gauge.exa\nOK\n",
            "+COPS: 0,0,\"Weir\n+CSQ: 1,\"9\n",
            "he said \"it\nworks\" now\n",
            "+COPS: 0,0,\"Weir\n and \"Ford\n",
        ] {
            assert_eq!(joined(text), text);
        }
    }
}
