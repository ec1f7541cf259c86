//! Characters that word processors, chats and terminals put in the place of plain ones: curly quotes,
//! odd blanks and dashes, full-width letters, pictures of control characters.

use super::mapped::Edits;

/// Puts plain characters in their place; others outside ASCII stay.
pub(super) fn replace(text: &str, edits: &mut Edits<'_>) {
    if text.is_ascii() {
        return;
    }
    for (at, c) in text.char_indices().filter(|(_, c)| !c.is_ascii()) {
        if let Some(plain) = plain(c) {
            edits.replace(at..at + c.len_utf8(), plain);
        }
    }
}

/// What stands for a character outside ASCII; `None` where it stays.
fn plain(c: char) -> Option<&'static str> {
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
    use crate::capture::mapped::MappedText;

    #[test]
    fn quotes_and_blanks_of_word_processors_become_plain() {
        let plain = |text| MappedText::original(text).edited(super::replace).text().to_owned();
        assert_eq!(plain("AT+CGDCONT=1,“IP”,“net”\u{a0}"), "AT+CGDCONT=1,\"IP\",\"net\" ");
        assert_eq!(plain("ＡＴ＋ＣＳＱ␍␊é"), "AT+CSQ\r\né");
    }
}
