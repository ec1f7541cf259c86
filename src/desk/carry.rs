//! Texts inside a form, from one page to the next: no character of it is obeyed by a reader of the page, and the texts
//! come back as they were.

use crate::sanitize::plain;

/// What stands between two texts; no text has it, because a per cent sign is written as its number.
const BETWEEN: &str = "%next;";

/// Several texts for one hidden field.
pub(super) fn all_carried<'t>(texts: impl IntoIterator<Item = &'t str>) -> String {
    texts.into_iter().map(carried).collect::<Vec<_>>().join(BETWEEN)
}

/// The texts again; none for an empty field.
pub(super) fn all_back(carried: &str) -> Vec<String> {
    if carried.is_empty() { Vec::new() } else { carried.split(BETWEEN).map(back).collect() }
}

/// The text for a hidden field: whatever a reader would obey is written as its number, line ends stay.
fn carried(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (at, c) in text.char_indices() {
        let mut bytes = [0; 4];
        let shown = match c {
            '\n' => true,
            '%' => false,
            ' '..='~' => true,
            c => plain(c.encode_utf8(&mut bytes)).starts_with(c),
        };
        if !shown {
            out.push_str(&text[from..at]);
            out.push_str(&format!("%{:x};", u32::from(c)));
            from = at + c.len_utf8();
        }
    }
    out.push_str(&text[from..]);
    out
}

/// The text again.
fn back(carried: &str) -> String {
    let mut out = String::with_capacity(carried.len());
    let mut rest = carried;
    while let Some((before, behind)) = rest.split_once('%') {
        out.push_str(before);
        let coded = behind.split_once(';').and_then(|(code, behind)| {
            Some((char::from_u32(u32::from_str_radix(code, 16).ok()?)?, behind))
        });
        // What was not written by `carried` stays as it is.
        let (c, behind) = coded.unwrap_or(('%', behind));
        out.push(c);
        rest = behind;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_text_comes_back(text in any::<String>()) {
            let carried = carried(&text);
            let obeyed = carried.replace('\n', "");
            prop_assert_eq!(plain(&obeyed), obeyed.as_str());
            prop_assert_eq!(back(&carried), text);
        }

        #[test]
        fn several_texts_stay_apart(texts in prop::collection::vec("(%|next;|[a-z%;\n]){1,9}", 1..5)) {
            let carried = all_carried(texts.iter().map(String::as_str));
            prop_assert_eq!(all_back(&carried), texts);
        }

        #[test]
        fn whatever_somebody_sends_is_read(text in "[%;0-9a-f\u{e9}]{0,30}") {
            let _ = back(&text);
        }
    }
}
