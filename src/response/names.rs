//! Technologies and service states as vendors spell them.

use super::Field;
use super::fact_writer::{FactWriter, Taken};
use crate::case::{Fact, Rat, Service};

/// Every spelling of a technology, upper case.
const TECHNOLOGIES: &[(Rat, &[&str])] = &[
    (Rat::Gsm, &["GSM", "GPRS", "EGPRS", "EDGE", "2G"]),
    (
        Rat::Utra,
        &[
            "WCDMA",
            "TDSCDMA",
            "TD-SCDMA",
            "UMTS",
            "UTRAN",
            "HSDPA",
            "HSUPA",
            "HSPA",
            "HSPA+",
            "3G",
            "WCDMA & HSDPA",
            "WCDMA & HSUPA",
            "WCDMA & HSDPA & HSUPA",
        ],
    ),
    (Rat::Lte, &["LTE", "FDD LTE", "TDD LTE", "E-UTRAN", "4G"]),
    (
        Rat::LteM,
        &[
            "EMTC",
            "CAT-M",
            "CAT-M1",
            "CAT M",
            "CAT M1",
            "CATM",
            "LTE-M",
            "LTE-M1",
            "LTE CAT-M1",
            "LTE CAT-M",
        ],
    ),
    (
        Rat::NbIot,
        &[
            "NBIOT",
            "NB-IOT",
            "LTE NB-IOT",
            "CAT-NB",
            "CAT-NB1",
            "CAT-NB2",
            "CATNB",
            "CAT NB",
            "CAT NB1",
            "NTN NBIOT",
            "LTE-NB1",
            "LTE NB1",
        ],
    ),
    (
        Rat::Nr,
        &[
            "NR", "5G", "NR5G", "NR-5G", "NR5G-SA", "NR5G_SA", "NR5G-NSA", "NR5G_NSA", "FDD NR5G",
            "TDD NR5G", "5G NR",
        ],
    ),
];

/// The technology that a name stands for: `CAT-M1`, `FDD LTE`, `HSPA+`, `NR5G-SA`.
pub(super) fn technology(name: &str) -> Option<Rat> {
    let known = |names: &[&str]| names.iter().any(|n| n.eq_ignore_ascii_case(name));
    TECHNOLOGIES.iter().find(|(_, names)| known(names)).map(|(rat, _)| *rat)
}

/// The service state that a word of a serving-cell response stands for.
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

/// Notes the technology in use on the serving cell.
pub(super) fn note_technology(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let rat = technology(field.text).ok_or("a technology")?;
    w.fact(Fact::Technology(rat), field.span);
    Ok(())
}

/// Notes a service state.
pub(super) fn note_service(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let state = service(field.text).ok_or("a service state")?;
    w.fact(Fact::Service(state), field.span);
    Ok(())
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
