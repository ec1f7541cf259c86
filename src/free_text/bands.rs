//! The LTE bands that a network uses, in a person's words.
//!
//! ```text
//! my carrier uses band 20 here        the operator has B3 and B28 only
//! ```
//!
//! Common practice, no source: the wordings are those that turn up in people's letters.

use super::words::split;
use crate::case::{Fact, Facts};
use crate::reference::bands::{lte_band, lte_band_of_earfcn};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    // `b20`: a look before the costly one.
    let numbered = |pair: &[u8]| pair[0] == b'b' && pair[1].is_ascii_digit();
    if !lower.contains("band") && !lower.as_bytes().windows(2).any(numbered) {
        return;
    }
    for part in lower.split_inclusive(['.', ';', '!', '?']) {
        let at = part.as_ptr() as usize - lower.as_ptr() as usize;
        let any = |words: &[&str]| words.iter().any(|w| part.contains(w));
        if part.ends_with('?')
            || !any(words_of(List::NetworkOwner))
            || !any(words_of(List::NetworkUses))
            || any(words_of(List::BandOtherwise))
        {
            continue;
        }
        let bands = named(part);
        if let ([(_, first), ..], Some((_, last))) = (&bands[..], bands.last()) {
            facts.push(
                Fact::NetworkBands(bands.iter().map(|(band, _)| *band).collect()),
                Span::new(base + at + first.start, base + at + last.end),
            );
        }
    }
}

/// The LTE bands of a text in small letters, and where they stand: `b20`, `band 3`, `bands 3 and 28`, and those of
/// channel numbers.
pub(super) fn named(text: &str) -> Vec<(u16, Span)> {
    let mut found = Vec::new();
    let (mut listed, mut channel) = (false, false);
    for word in split(text, |c| c.is_ascii_alphanumeric()) {
        let digits = word.text.strip_prefix("band").or_else(|| word.text.strip_prefix('b'));
        let number = |digits: &str| {
            digits.parse().ok().filter(|n| digits.len() <= 2 && lte_band(*n).is_some())
        };
        let of_channel = || word.text.parse().ok().and_then(lte_band_of_earfcn).map(|b| b.number);
        let band = match digits.and_then(number) {
            None if channel => of_channel(),
            None if listed => number(word.text),
            named => named,
        };
        channel = word.text == "earfcn";
        listed = matches!(word.text, "band" | "bands")
            || !channel && band.is_some()
            || listed && matches!(word.text, "and" | "or");
        found.extend(band.map(|band| (band, Span::new(word.start, word.end))));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(line: &str) -> Vec<u16> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        let bands = facts.drain().find_map(|(fact, _)| match fact {
            Fact::NetworkBands(bands) => Some(bands),
            _ => None,
        });
        bands.unwrap_or_default()
    }

    #[test]
    fn the_bands_of_a_network_are_read() {
        assert_eq!(told("our carrier uses band 20 here"), Vec::<u16>::from([20]));
        assert_eq!(
            told("Module supports B1,B3,B8. Carrier here has B20 and B28 only."),
            Vec::<u16>::from([20, 28])
        );
        assert_eq!(
            told("The operator has only bands 3, 8 and 20 for LTE-M"),
            Vec::<u16>::from([3, 8, 20])
        );
        assert_eq!(
            told("Support of the network wrote \"our NB-IoT is on B20 only here\""),
            Vec::<u16>::from([20])
        );
        assert_eq!(told("the tower is on b20/b28"), Vec::<u16>::from([20, 28]));
    }

    #[test]
    fn other_bands_and_numbers_are_none() {
        for line in [
            "the module supports bands 3 and 20 of this carrier",
            "the carrier does not use band 20",
            "does the operator use band 20?",
            "the operator has 20 stations on 3 hills",
            "my provider has plan b2b for 20 cards",
            "I think the carrier uses band 20",
            "band 20 is what I set",
            "the carrier uses band 78 for 5G",
            "the network has GSM on band 8",
        ] {
            assert!(told(line).is_empty(), "{line}");
        }
    }

    #[test]
    fn the_place_is_that_of_the_numbers() {
        let line = "It is new. The carrier has bands 3 and 20 here";
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 5, &mut facts);
        let (_, span) = facts.found()[0].clone();
        assert_eq!(&line[span.start - 5..span.end - 5], "3 and 20");
    }
}
