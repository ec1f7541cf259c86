//! `mask`: the bands of a mask, or the mask of some bands.

use super::{Answer, Problem};
use crate::reference::bands::lte_band;
use crate::reference::bands::mask::Mask;
use serde_json::json;

/// How a text was read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reading {
    Bands,
    Hexadecimal,
    Decimal,
}

impl Reading {
    const fn words(self) -> &'static str {
        match self {
            Self::Bands => "a list of bands",
            Self::Hexadecimal => "hexadecimal",
            Self::Decimal => "decimal",
        }
    }
}

/// Every reading of a text, the likeliest first: a list of bands (`B1 B3 B20`, `1 3 20`,
/// `1,3,20`), one word or two in hexadecimal (lower bands first), and without `0x` a decimal
/// number. `decimal` reads it as decimal alone.
///
/// # Errors
///
/// [`Problem`] where the text is none of these.
pub fn mask(words: &[String], decimal: bool) -> Result<Vec<Answer>, Problem> {
    let input = words.join(" ");
    let separated = |c: char| matches!(c, ',' | ':' | ';') || c.is_whitespace();
    let parts: Vec<&str> = input.split(separated).filter(|part| !part.is_empty()).collect();
    if parts.is_empty() {
        return Err(Problem::new("a mask is wanted, as 0x80005, or bands, as 1 3 20"));
    }
    if decimal {
        let mask = from_decimal(&parts).ok_or_else(|| {
            Problem::new(format!("`{input}` is no decimal number of at most 128 bits"))
        })?;
        return Ok(vec![answer(&input, &mask, Reading::Decimal, false)]);
    }
    let mut readings: Vec<(Mask, Reading)> = Vec::new();
    let hexadecimal = Mask::from_words(&parts);
    if let Some(mask) = from_bands(&parts)? {
        readings.push((mask, Reading::Bands));
        // `B20` and `1 3` are masks in one and two words as well.
        let marked = parts.iter().all(|part| part.starts_with(['B', 'b']));
        if parts.len() == 1 || parts.len() == 2 && !marked && !input.contains([',', ':', ';']) {
            readings.extend(hexadecimal.ok().map(|mask| (mask, Reading::Hexadecimal)));
        }
    } else {
        readings.push((
            hexadecimal.map_err(|error| Problem::new(error.to_string()))?,
            Reading::Hexadecimal,
        ));
        readings.extend(from_decimal(&parts).map(|mask| (mask, Reading::Decimal)));
    }
    let mut different: Vec<(Mask, Reading)> = Vec::new();
    for (mask, reading) in readings {
        if different.iter().all(|(other, _)| *other != mask) {
            different.push((mask, reading));
        }
    }
    let several = different.len() > 1;
    Ok(different.iter().map(|(mask, reading)| answer(&input, mask, *reading, several)).collect())
}

/// The bands of a list: every part a band with its `B`, or several parts that are plain numbers.
fn from_bands(parts: &[&str]) -> Result<Option<Mask>, Problem> {
    let marked = parts.iter().all(|part| part.starts_with(['B', 'b']));
    if !marked && parts.len() == 1 {
        return Ok(None);
    }
    let numbers: Option<Vec<u16>> = parts
        .iter()
        .map(|part| part.trim_start_matches(['B', 'b']).parse().ok().filter(|_| part.len() <= 4))
        .collect();
    let Some(mut bands) = numbers else { return Ok(None) };
    if bands.iter().any(|band| !(1..=256).contains(band)) {
        // Words of a mask may look like numbers, bands with their letter do not.
        return if marked { Err(Problem::new("a mask has bands 1 to 256")) } else { Ok(None) };
    }
    bands.sort_unstable();
    bands.dedup();
    Ok(Some(Mask { bands }))
}

fn from_decimal(parts: &[&str]) -> Option<Mask> {
    let [number] = parts else { return None };
    number
        .bytes()
        .all(|b| b.is_ascii_digit())
        .then(|| number.parse().ok())
        .flatten()
        .map(Mask::from_decimal)
}

fn answer(input: &str, mask: &Mask, reading: Reading, several: bool) -> Answer {
    let undefined: Vec<u16> =
        mask.bands.iter().copied().filter(|b| lte_band(*b).is_none()).collect();
    let list = mask.bands.iter().map(u16::to_string).collect::<Vec<_>>().join(", ");
    let [low, high] = mask.words();
    let bands =
        if mask.bands.is_empty() { "no band at all".to_owned() } else { format!("bands {list}") };
    let title = if several { format!("as {}: {bands}", reading.words()) } else { bands };
    Answer::new("mask", input, title)
        .field("read_as", reading.words())
        .field("bands", json!(mask.bands))
        .field("count", mask.bands.len())
        .field("hex", format!("0x{}", mask.hex()))
        .field("low_hex", format!("0x{low}"))
        .field("high_hex", format!("0x{high}"))
        .field("undefined_bands", json!(undefined))
        .field("clause", "common practice, no source: bit n-1 is band n")
        .line("as one number", format!("0x{}", mask.hex()))
        .line("as two words", format!("0x{low} for bands 1 to 64, 0x{high} for bands 65 to 128"))
        .line("no LTE band", undefined.iter().map(u16::to_string).collect::<Vec<_>>().join(", "))
        .line("source", "common practice, no source: bit n-1 is band n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(text: &str) -> Vec<(String, Vec<u64>)> {
        let words: Vec<String> = text.split(' ').map(str::to_owned).collect();
        let bands = |answer: &Answer| {
            let json = answer.json();
            let list = json["bands"].as_array().unwrap().iter().map(|b| b.as_u64().unwrap());
            (json["read_as"].as_str().unwrap().to_owned(), list.collect())
        };
        mask(&words, false).unwrap().iter().map(bands).collect()
    }

    #[test]
    fn bands_with_or_without_their_letter_are_a_list() {
        for text in ["B1 B3 B7 B20", "1 3 7 20", "1,3,7,20", "b1,b3,b7,b20", "1, 3, 7, 20"] {
            let found = readings(text);
            assert_eq!(found, [("a list of bands".to_owned(), vec![1, 3, 7, 20])], "{text}");
        }
    }

    #[test]
    fn a_number_without_0x_has_both_readings() {
        let found = readings("80005");
        assert_eq!(found[0], ("hexadecimal".to_owned(), vec![1, 3, 20]));
        assert_eq!(found[1].0, "decimal");
        assert_eq!(readings("524293")[1], ("decimal".to_owned(), vec![1, 3, 20]));
        assert_eq!(readings("0x80005").len(), 1);
        assert_eq!(readings("800D5").len(), 1);
        assert_eq!(readings("5").len(), 1, "the same bands either way");
    }

    #[test]
    fn one_band_or_two_numbers_may_be_a_mask() {
        let found = readings("B20");
        assert_eq!(found[0], ("a list of bands".to_owned(), vec![20]));
        assert_eq!(found[1].0, "hexadecimal");
        let found = readings("1 3");
        assert_eq!(found[0], ("a list of bands".to_owned(), vec![1, 3]));
        assert_eq!(found[1], ("hexadecimal".to_owned(), vec![1, 65, 66]));
        assert_eq!(readings("0x80005 0x2"), [("hexadecimal".to_owned(), vec![1, 3, 20, 66])]);
    }
}
