//! A value in the last column of a printed table that goes on in the next line, below its beginning.
//!
//! ```text
//! AT+CGACT=1,1        → +CME ERROR: user
//!                       authentication failed
//! ```

use super::mapped::Edits;

/// A column that is nearer to the margin is no column of values.
const LEAST: usize = 10;

/// Puts such lines together.
pub(super) fn join(text: &str, edits: &mut Edits<'_>) {
    let mut from = 0;
    let mut column = None;
    for piece in text.split_inclusive('\n') {
        let body = piece.trim_end_matches(['\n', '\r']);
        let indent = body.chars().take_while(|c| *c == ' ').count();
        let words = body.trim_start().starts_with(|c: char| c.is_ascii_lowercase());
        if indent >= LEAST && words && column == Some(indent) {
            // The line end before it and the blanks become one blank.
            let before = text[..from].trim_end_matches(['\n', '\r', ' ']).len();
            edits.replace(before..from + indent, " ");
        } else {
            column = value_column(body);
        }
        from += piece.len();
    }
}

/// The column, in characters, in which the value behind an arrow or a bar begins.
fn value_column(line: &str) -> Option<usize> {
    const SIGNS: [&str; 5] = ["→ ", "-> ", "=> ", "⇒ ", "| "];
    let (at, sign) = SIGNS.iter().filter_map(|sign| Some((line.find(sign)?, sign))).min()?;
    let value = line[at + sign.len()..].trim_start();
    let begins = line.len() - value.len();
    (!value.is_empty()).then(|| line[..begins].chars().count())
}

#[cfg(test)]
mod tests {
    use super::join;
    use crate::capture::mapped::MappedText;

    #[test]
    fn a_value_goes_on_below_its_beginning_only() {
        let joined = |text: &str| MappedText::original(text).edited(join).text().to_owned();
        assert_eq!(
            joined(
                "AT+CGACT=1,1   → +CME ERROR: user\n                 authentication\n                 failed\nAT  → OK\n"
            ),
            "AT+CGACT=1,1   → +CME ERROR: user authentication failed\nAT  → OK\n"
        );
        for text in [
            "AT+CGACT=1,1   → OK\n      and more\n",
            "AT+CGACT=1,1   → OK\n                 +CEREG: 1\n",
            "a plain line\n                 another\n",
        ] {
            assert_eq!(joined(text), text);
        }
    }
}
