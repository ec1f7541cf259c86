//! Bands as makers write them: masks, names, lists, and the channels that settle a doubtful base.

use crate::reply::{Field, Rat};

/// The bands of a mask in hexadecimal digits, however long: bit n-1 is band n.
pub(super) fn hex_mask(digits: &str) -> Option<Vec<u16>> {
    let digits = digits.strip_prefix("0x").or_else(|| digits.strip_prefix("0X")).unwrap_or(digits);
    if digits.is_empty() || digits.len() > 128 {
        return None;
    }
    let mut bands = Vec::new();
    for (place, byte) in (0u16..).zip(digits.bytes().rev()) {
        let nibble = char::from(byte).to_digit(16)?;
        bands.extend((0..4).filter(|bit| nibble >> bit & 1 == 1).map(|bit| place * 4 + bit + 1));
    }
    Some(bands)
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

/// Bands of GSM and UTRA bit masks that several makers share, as bit, technology and band.
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

/// Downlink channels of E-UTRA bands (TS 36.101 table 5.7.3-1), as band, first, last.
const EUTRA_DOWNLINK: &[(u16, u32, u32)] = &[
    (1, 0, 599),
    (2, 600, 1199),
    (3, 1200, 1949),
    (4, 1950, 2399),
    (5, 2400, 2649),
    (6, 2650, 2749),
    (7, 2750, 3449),
    (8, 3450, 3799),
    (9, 3800, 4149),
    (10, 4150, 4749),
    (11, 4750, 4949),
    (12, 5010, 5179),
    (13, 5180, 5279),
    (14, 5280, 5379),
    (17, 5730, 5849),
    (18, 5850, 5999),
    (19, 6000, 6149),
    (20, 6150, 6449),
    (21, 6450, 6599),
    (22, 6600, 7399),
    (23, 7500, 7699),
    (24, 7700, 8039),
    (25, 8040, 8689),
    (26, 8690, 9039),
    (27, 9040, 9209),
    (28, 9210, 9659),
    (29, 9660, 9769),
    (30, 9770, 9869),
    (31, 9870, 9919),
    (32, 9920, 10_359),
    (33, 36_000, 36_199),
    (34, 36_200, 36_349),
    (35, 36_350, 36_949),
    (36, 36_950, 37_549),
    (37, 37_550, 37_749),
    (38, 37_750, 38_249),
    (39, 38_250, 38_649),
    (40, 38_650, 39_649),
    (41, 39_650, 41_589),
    (42, 41_590, 43_589),
    (43, 43_590, 45_589),
    (44, 45_590, 46_589),
    (45, 46_590, 46_789),
    (46, 46_790, 54_539),
    (47, 54_540, 55_239),
    (48, 55_240, 56_739),
    (49, 56_740, 58_239),
    (50, 58_240, 59_089),
    (51, 59_090, 59_139),
    (52, 59_140, 60_139),
    (53, 60_140, 60_254),
    (54, 60_255, 60_304),
    (65, 65_536, 66_435),
    (66, 66_436, 67_335),
    (67, 67_336, 67_535),
    (68, 67_536, 67_835),
    (69, 67_836, 68_335),
    (70, 68_336, 68_585),
    (71, 68_586, 68_935),
    (72, 68_936, 68_985),
    (73, 68_986, 69_035),
    (74, 69_036, 69_465),
    (75, 69_466, 70_315),
    (76, 70_316, 70_365),
    (85, 70_366, 70_545),
    (87, 70_546, 70_595),
    (88, 70_596, 70_645),
    (103, 70_646, 70_655),
    (106, 70_656, 70_705),
    (107, 70_706, 71_105),
    (108, 71_106, 73_385),
    (111, 73_386, 73_485),
    (112, 73_486, 74_865),
    (113, 74_866, 75_785),
];

/// Whether an E-UTRA downlink channel lies in a band; `None` for a band that is not in the table.
pub(super) fn holds_channel(band: u16, channel: u32) -> Option<bool> {
    let (_, first, last) = EUTRA_DOWNLINK.iter().find(|(b, ..)| *b == band)?;
    Some((*first..=*last).contains(&channel))
}

/// The E-UTRA band in whose downlink a channel lies.
pub(super) fn of_channel(channel: u32) -> Option<u16> {
    EUTRA_DOWNLINK
        .iter()
        .find(|(_, first, last)| (*first..=*last).contains(&channel))
        .map(|(band, ..)| *band)
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

    #[test]
    fn channel_ranges_follow_each_other_without_overlap() {
        for pair in EUTRA_DOWNLINK.windows(2) {
            assert!(pair[0].2 < pair[1].1, "band {}", pair[1].0);
        }
        assert_eq!(of_channel(6300), Some(20));
        assert_eq!(holds_channel(66, 66_736), Some(true));
    }
}
