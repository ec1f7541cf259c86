//! `mask`: the bands of a mask, or the mask of some bands.

use super::{Answer, Found, Problem};
use crate::reference::bands::lte_band;
use crate::reference::bands::mask::Mask;
use serde_json::json;

/// The bands of a mask: one word or two (lower bands first), hexadecimal with or without `0x`; a
/// list of bands with commas gives the mask. `decimal` reads the number as decimal.
///
/// # Errors
///
/// [`Problem`] where the text is neither.
pub fn mask(words: &[String], decimal: bool) -> Found {
    let input = words.join(" ");
    let problem = |e: String| Problem::new(e);
    let mask = if words.len() == 1
        && words[0].contains([',', ':'])
        && !words[0].to_ascii_lowercase().starts_with("0x")
    {
        let bands: Result<Vec<u16>, _> = words[0]
            .split([',', ':'])
            .map(|b| b.trim().trim_start_matches(['B', 'b']).parse())
            .collect();
        let mut bands =
            bands.map_err(|_| problem(format!("`{input}` is no list of bands, as 1,3,20 is")))?;
        if bands.iter().any(|b| !(1..=256).contains(b)) {
            return Err(problem("a mask holds bands 1 to 256".into()));
        }
        bands.sort_unstable();
        bands.dedup();
        Mask { bands }
    } else if decimal {
        let number = input
            .trim()
            .parse()
            .map_err(|_| problem(format!("`{input}` is no decimal number of at most 128 bits")))?;
        Mask::from_decimal(number)
    } else {
        let parts: Vec<&str> =
            words.iter().flat_map(|w| w.split([',', ' '])).filter(|w| !w.is_empty()).collect();
        Mask::from_words(&parts).map_err(|e| problem(e.to_string()))?
    };
    let undefined: Vec<u16> =
        mask.bands.iter().copied().filter(|b| lte_band(*b).is_none()).collect();
    let list = mask.bands.iter().map(u16::to_string).collect::<Vec<_>>().join(", ");
    let [low, high] = mask.words();
    let title =
        if mask.bands.is_empty() { "no band at all".to_owned() } else { format!("bands {list}") };
    Ok(Answer::new("mask", input, title)
        .field("bands", json!(mask.bands))
        .field("count", mask.bands.len())
        .field("hex", format!("0x{}", mask.hex()))
        .field("low_hex", format!("0x{low}"))
        .field("high_hex", format!("0x{high}"))
        .field("undefined_bands", json!(undefined))
        .field("clause", "common practice, no source: bit n-1 stands for band n")
        .line("as one number", format!("0x{}", mask.hex()))
        .line("as two words", format!("0x{low} for bands 1 to 64, 0x{high} for bands 65 to 128"))
        .line("no LTE band", undefined.iter().map(u16::to_string).collect::<Vec<_>>().join(", "))
        .line("source", "common practice, no source: bit n-1 stands for band n"))
}
