//! `!BAND`: the set of bands in use, a row of masks.
//!
//! ```text
//! Index, Name,                      GW Band Mask     L Band Mask      TDS Band Mask
//! 06, Europe                        0002000000400000 00000000000800C5 0000000000000000
//! ```
//!
//! Several rows are the list of sets that could be chosen, and say nothing of the one that is.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::bands::{self, GSM_UTRA_BITS};
use crate::response::columns::{BodyLine, whole};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["!BAND"], "!BAND?", "bands that are switched on", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let rows: Vec<_> = reply.lines().filter(|line| !line.open).filter_map(masks).collect();
        if let [words] = rows.as_slice() {
            set(w, words);
        }
        Ok(())
    })
}

/// The words of sixteen hexadecimal digits in a row, two at least.
fn masks(line: BodyLine<'_>) -> Option<Vec<(&str, Span)>> {
    let words: Vec<_> = line
        .text
        .split_whitespace()
        .filter(|w| w.len() == 16 && w.bytes().all(|b| b.is_ascii_hexdigit()))
        .map(|w| {
            let start = line.at + (w.as_ptr() as usize - line.text.as_ptr() as usize);
            (w, Span::new(start, start + w.len()))
        })
        .collect();
    (words.len() >= 2).then_some(words)
}

fn set(w: &mut FactWriter<'_>, words: &[(&str, Span)]) {
    if let Ok(mask) = u64::from_str_radix(words[0].0, 16) {
        for rat in [Rat::Gsm, Rat::Utra] {
            let on = bands::shared_mask(mask, GSM_UTRA_BITS, rat);
            if !on.is_empty() {
                w.fact(Fact::EnabledBands(rat, on), words[0].1);
            }
        }
    }
    if let Some(on) = bands::hex_mask(words[1].0) {
        w.fact(Fact::EnabledBands(Rat::Lte, on), words[1].1);
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!BAND:\nIndex, Name,                      GW Band Mask     L Band Mask      TDS Band Mask\n06, Europe                        0002000000400000 00000000000800C5 0000000000000000",
];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of_block, says, with_form};

    use crate::response::{Form, Read};

    const EUROPE: &str =
        "06, Europe                        0002000000400000 00000000000800C5 0000000000000000";

    #[test]
    fn the_set_in_use_names_its_bands() {
        let found = of_block("!BAND", "", &["Index, Name", EUROPE]);
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![1, 3, 7, 8, 20])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Utra, vec![1, 8])));
    }

    #[test]
    fn the_list_of_all_sets_says_nothing_of_the_one_in_use() {
        let other = "00, All bands  0002000007C00000 00000100130818DF 0000000000000000";
        let several = with_form("!BAND", Form::Read, "", &[other, EUROPE]);
        assert_eq!(several, (Read::Understood, vec![]));
        assert_eq!(with_form("!BAND", Form::Test, "", &[EUROPE]).1, []);
    }
}
