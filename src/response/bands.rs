//! Bands as vendors write them: masks, names, lists, and the channels that settle a doubtful base.

use crate::case::Rat;
use crate::reference::bands::lte_band;
use crate::reference::bands::mask::Mask;
use crate::response::Field;

/// The bands of a mask in hexadecimal digits, however long: bit n-1 is band n.
pub(super) fn hex_mask(digits: &str) -> Option<Vec<u16>> {
    Mask::read(digits).ok().map(|mask| mask.bands)
}

/// The bands of a decimal mask, the first bit being band `first`.
pub(super) fn number_mask(mask: u64, first: u16) -> impl Iterator<Item = u16> {
    (0..64).filter(move |bit| mask >> bit & 1 == 1).map(move |bit| first + bit)
}

/// The bands of a mask of zeros and ones, the rightmost being band 1.
pub(super) fn binary_mask(text: &str) -> Option<Vec<u16>> {
    if text.is_empty() || text.len() > 256 || !text.bytes().all(|b| matches!(b, b'0' | b'1')) {
        return None;
    }
    Some((1u16..).zip(text.bytes().rev()).filter(|(_, b)| *b == b'1').map(|(n, _)| n).collect())
}

/// A decimal list of bands joined by `separator`; `0` alone is an empty list.
pub(super) fn list(text: &str, separator: char) -> Option<Vec<u16>> {
    let mut bands = Vec::new();
    for part in text.split(separator) {
        match part.trim().parse::<u16>().ok()? {
            0 => {}
            band if band <= 1024 => bands.push(band),
            _ => return None,
        }
    }
    Some(bands)
}

/// The bands in fields that are numbers and nothing else.
pub(super) fn from_fields(row: &[Field<'_>]) -> Option<Vec<u16>> {
    row.iter()
        .map(|f| f.text.trim_matches(['(', ')']).parse::<u16>().ok())
        .map(|band| band.filter(|b| (1..=1024).contains(b)))
        .collect()
}

/// The number at the end of a band's name: `LTE BAND 7`, `EUTRAN-BAND7`, `B7`, `n78`.
pub(super) fn named(text: &str) -> Option<u16> {
    let name = text.trim_end_matches(|c: char| c.is_ascii_digit());
    let known = ["BAND ", "BAND", "BAND_", "BAND_LTE_", "BAND-", "B", "N"];
    let last = name.rsplit([' ', '-']).find(|word| !word.is_empty()).unwrap_or("");
    let fits = known.iter().any(|k| {
        last.len() >= k.trim_end().len()
            && last
                .get(last.len() - k.trim_end().len()..)
                .is_some_and(|end| end.eq_ignore_ascii_case(k.trim_end()))
    });
    if !fits {
        return None;
    }
    text[name.len()..].parse().ok().filter(|band| (1..=1024).contains(band))
}

/// A band in the style that adds 100 for E-UTRA and writes `50` before NR numbers.
pub(super) fn offset(code: u16) -> Option<(Rat, u16)> {
    match code {
        1..=26 => Some((Rat::Utra, code)),
        101..=199 => Some((Rat::Lte, code - 100)),
        501..=509 => Some((Rat::Nr, code - 500)),
        5010..=5099 => Some((Rat::Nr, code - 5000)),
        50100..=50999 => Some((Rat::Nr, code - 50000)),
        _ => None,
    }
}

/// Bands of GSM and UTRA bit masks that several vendors share, as bit, technology and band.
///
/// GSM bands are named by their frequency in MHz, UTRA bands by their number.
pub(super) const GSM_UTRA_BITS: &[(u64, Rat, u16)] = &[
    (1 << 7, Rat::Gsm, 1800),
    (1 << 8 | 1 << 9, Rat::Gsm, 900),
    (1 << 19, Rat::Gsm, 850),
    (1 << 21, Rat::Gsm, 1900),
    (1 << 22, Rat::Utra, 1),
    (1 << 23, Rat::Utra, 2),
    (1 << 24 | 1 << 25, Rat::Utra, 4),
    (1 << 26, Rat::Utra, 5),
    (1 << 27, Rat::Utra, 6),
    (1 << 49, Rat::Utra, 8),
];

/// The bands of one technology in such a mask.
pub(super) fn shared_mask(mask: u64, bits: &[(u64, Rat, u16)], rat: Rat) -> Vec<u16> {
    bits.iter().filter(|(bit, r, _)| *r == rat && mask & bit != 0).map(|(_, _, b)| *b).collect()
}

/// Whether an E-UTRA downlink channel lies in a band; `None` for a band that is not in the table.
pub(super) fn holds_channel(band: u16, channel: u32) -> Option<bool> {
    lte_band(band).map(|b| b.downlink_channels.contains(channel))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_mask_is_read_from_its_last_digit() {
        assert_eq!(hex_mask("0x80000000000000000").unwrap(), [68]);
        assert_eq!(hex_mask("80800c5").unwrap(), [1, 3, 7, 8, 20, 28]);
        assert_eq!(hex_mask("12g"), None);
    }

    #[test]
    fn names_of_bands_end_in_their_number() {
        for name in
            ["LTE BAND 7", "EUTRAN-BAND7", "B7", "n7", "NR5G_BAND7", "BAND_LTE_7", "NR5G BAND 7"]
        {
            assert_eq!(named(name), Some(7), "{name}");
        }
        assert_eq!(named("GSM 900"), None);
        assert_eq!(named("WCDMA IMT 2000"), None);
    }
}
