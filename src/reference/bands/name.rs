//! The name of a band as people write it: `20`, `B20`, `n78`, `GSM900`, `UMTS 8`, `band VIII`.

use super::eutra::{EutraBand, lte_band};
use super::gsm::{GsmBand, gsm_bands_named};
use super::nr::{NrBand, nr_band};
use super::utra::{UtraBand, utra_band, utra_bands};

/// A band of one technology.
#[derive(Clone, Copy, Debug)]
pub enum BandName {
    /// E-UTRA.
    Lte(&'static EutraBand),
    /// New radio.
    Nr(&'static NrBand),
    /// UTRA FDD.
    Utra(&'static UtraBand),
    /// GSM.
    Gsm(&'static GsmBand),
}

impl BandName {
    /// Every band that a name may mean, the likeliest first; empty where it means none.
    ///
    /// A bare number is an E-UTRA band and, where there is one, the UTRA band of that number.
    pub fn read(text: &str) -> Vec<Self> {
        let plain: String = text
            .chars()
            .filter(|c| !matches!(c, ' ' | '_' | '-' | '.' | '/'))
            .collect::<String>()
            .to_ascii_uppercase();
        let plain = plain.strip_prefix("BAND").unwrap_or(&plain);
        let number = |prefixes: &[&str]| {
            prefixes.iter().find_map(|prefix| plain.strip_prefix(prefix)?.parse::<u16>().ok())
        };
        if let Some(n) = number(&["NRBANDN", "NRBAND", "NRN", "NR", "N"]) {
            return nr_band(n).map(Self::Nr).into_iter().collect();
        }
        if let Some(n) = number(&[
            "UMTSBAND",
            "UMTSB",
            "UMTS",
            "UTRABAND",
            "UTRA",
            "WCDMABAND",
            "WCDMAB",
            "WCDMA",
        ]) {
            return utra_band(n).map(Self::Utra).into_iter().collect();
        }
        if let Some(n) =
            number(&["EUTRANBAND", "EUTRAN", "EUTRABAND", "EUTRA", "LTEBAND", "LTEB", "LTE", "B"])
        {
            return lte_band(n).map(Self::Lte).into_iter().collect();
        }
        if let Ok(n) = plain.parse::<u16>() {
            let lte = lte_band(n).map(Self::Lte);
            return lte.into_iter().chain(utra_band(n).map(Self::Utra)).collect();
        }
        let roman = ["UMTSBAND", "UMTS", "UTRABAND", "UTRA", "WCDMA"]
            .iter()
            .find_map(|prefix| plain.strip_prefix(prefix))
            .unwrap_or(plain);
        if let Some(band) = utra_bands().iter().find(|band| band.roman == roman) {
            return vec![Self::Utra(band)];
        }
        if plain.chars().all(|c| c.is_ascii_digit()) {
            return Vec::new();
        }
        gsm_bands_named(plain).into_iter().map(Self::Gsm).collect()
    }

    /// The short name: `B20`, `n78`, `UMTS VIII`, `E-GSM 900`.
    pub fn short(self) -> String {
        match self {
            Self::Lte(band) => format!("B{}", band.number),
            Self::Nr(band) => format!("n{}", band.number),
            Self::Utra(band) => format!("UMTS {}", band.roman),
            Self::Gsm(band) => band.name.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_as_people_write_them() {
        let first = |text| BandName::read(text).first().map(|band| band.short());
        for (text, short) in [
            ("20", "B20"),
            ("b20", "B20"),
            ("LTE BAND 20", "B20"),
            ("EUTRAN-BAND20", "B20"),
            ("n78", "n78"),
            ("NR 78", "n78"),
            ("GSM900", "E-GSM 900"),
            ("GSM 850", "GSM 850"),
            ("DCS1800", "DCS 1800"),
            ("P-GSM 900", "P-GSM 900"),
            ("UMTS 8", "UMTS VIII"),
            ("band VIII", "UMTS VIII"),
            ("WCDMA_B8", "UMTS VIII"),
        ] {
            assert_eq!(first(text).as_deref(), Some(short), "{text}");
        }
        assert_eq!(first("b15"), None);
        assert_eq!(first("n4"), None);
        assert_eq!(BandName::read("8").len(), 2);
    }
}
