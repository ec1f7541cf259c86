//! Text that no terminal and no reader's eye would obey.

use std::borrow::Cow;

/// The text without anything that a terminal or a reader's eye would obey: control characters and
/// marks that turn the direction of writing become a replacement sign, tabs a blank.
pub fn plain(text: &str) -> Cow<'_, str> {
    let obeyed = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
    };
    if !text.contains(obeyed) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .map(|c| match c {
                '\t' => ' ',
                c if obeyed(c) => '\u{fffd}',
                c => c,
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_obeys_is_shown_as_a_sign() {
        assert_eq!(plain("a\x1b[31mb\tc\u{202e}d"), "a\u{fffd}[31mb c\u{fffd}d");
    }
}
