//! The record of an acceptance: what was wanted and measured, and the hash of the evidence.

use super::criteria::Criteria;
use super::judge::{Measured, Outcome, judge};
use crate::case::Case;
use crate::identity::mask;
use crate::survey::analysis::Analysis;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// What the installer types in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Site {
    /// The site's name.
    pub name: String,
    /// The antenna.
    pub antenna: String,
    /// Its height, in the installer's words.
    pub height: String,
    /// Where it looks, degrees from north.
    pub azimuth: String,
    /// The cable.
    pub cable: String,
    /// Names of the photographs' files.
    pub photographs: Vec<String>,
    /// Who did it.
    pub installer: String,
}

/// The record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// The version of this form: 1.
    pub format: u8,
    /// When it was made.
    pub made: String,
    /// The day of the visit, `2026-05-04`; empty where no sample was taken.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub visit: String,
    /// Whether the samples came from a simulated place.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub simulated: bool,
    /// The site.
    pub site: Site,
    /// The criteria.
    pub criteria: Criteria,
    /// Each criterion with its outcome.
    pub results: Vec<Measured>,
    /// Of all together.
    pub outcome: Outcome,
    /// Modem, firmware and card, masked.
    pub identities: Vec<(String, String)>,
    /// SHA-256 of the evidence, hexadecimal: the survey file and, where there is one, the capture.
    pub evidence_sha256: Vec<(String, String)>,
}

/// Makes a record. `evidence` are names and contents.
pub fn record(
    mut site: Site,
    criteria: Criteria,
    analysis: &Analysis,
    case: Option<&Case>,
    evidence: &[(String, Vec<u8>)],
    made: String,
) -> Record {
    let results = judge(&criteria, analysis, case);
    let has = |o| results.iter().any(|r| r.outcome == o);
    let outcome = if has(Outcome::Failed) {
        Outcome::Failed
    } else if has(Outcome::Incomplete) || results.is_empty() {
        Outcome::Incomplete
    } else {
        Outcome::Passed
    };
    let mut identities = Vec::new();
    if let Some(case) = case {
        for (name, history) in [
            ("model", &case.device.model),
            ("firmware", &case.device.firmware),
            ("IMEI", &case.device.imei),
            ("ICCID", &case.card.iccid),
            ("IMSI", &case.card.imsi),
        ] {
            if let Some(o) = history.latest() {
                identities.push((name.to_owned(), mask(&o.value).into_owned()));
            }
        }
    }
    let hash = |bytes: &[u8]| Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect();
    let evidence_sha256 =
        evidence.iter().map(|(name, bytes)| (name.clone(), hash(bytes))).collect();
    let head = &analysis.head;
    let visit = head.visit.date.or(analysis.time.map(|(from, _)| from.date_naive()));
    if site.name.is_empty() {
        site.name.clone_from(&head.site.name);
    }
    Record {
        format: 1,
        made,
        visit: visit.map_or_else(String::new, |day| day.to_string()),
        simulated: head.rehearsal,
        site,
        criteria,
        results,
        outcome,
        identities,
        evidence_sha256,
    }
}
