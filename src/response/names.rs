//! Technologies and service states as vendors spell them.

use crate::case::{Rat, Service};

/// The technology that a name stands for: `CAT-M1`, `FDD LTE`, `HSPA+`, `NR5G-SA`.
pub(super) fn technology(name: &str) -> Option<Rat> {
    let name = name.to_ascii_uppercase();
    let any = |words: &[&str]| words.iter().any(|w| name.contains(w));
    if any(&["NBIOT", "NB-IOT", "CAT-NB"]) {
        Some(Rat::NbIot)
    } else if any(&["EMTC", "CAT-M", "LTE-M"]) {
        Some(Rat::LteM)
    } else if any(&["NR5G", "NR-5G"]) || name == "NR" || name == "5G" {
        Some(Rat::Nr)
    } else if any(&["LTE"]) {
        Some(Rat::Lte)
    } else if any(&["CDMA", "HSDPA", "HSUPA", "HSPA", "UMTS", "UTRAN"]) {
        // cdmaOne and cdma2000 are another family; their names have no W or SCDMA.
        (!name.starts_with("CDMA")).then_some(Rat::Utra)
    } else if any(&["GSM", "GPRS", "EDGE"]) {
        Some(Rat::Gsm)
    } else {
        None
    }
}

/// The service state that a word of a serving-cell reply stands for.
pub(super) fn service(word: &str) -> Option<Service> {
    match word.to_ascii_uppercase().as_str() {
        "SEARCH" => Some(Service::Searching),
        "LIMSRV" => Some(Service::Limited),
        "NOCONN" | "CONNECT" | "CONECT" | "CONN" => Some(Service::Normal),
        "NO SERVICE" | "NOSERVICE" => Some(Service::None),
        "LOW POWER MODE" | "OFFLINE" => Some(Service::RadioOff),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_narrower_technology_wins_over_the_name_it_contains() {
        assert_eq!(technology("LTE CAT-M1"), Some(Rat::LteM));
        assert_eq!(technology("NTN NBIoT"), Some(Rat::NbIot));
        assert_eq!(technology("TDD NR5G"), Some(Rat::Nr));
        assert_eq!(technology("TDSCDMA"), Some(Rat::Utra));
        assert_eq!(technology("CDMA"), None);
        assert_eq!(technology("NONE"), None);
    }
}
