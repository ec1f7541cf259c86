//! The modems whose output is in one text: each has its verdict, and the worst one decides.

use super::basis::Basis;
use crate::capture::Capture;
use crate::carrier::{Choice, UnknownProfile};
use crate::case::{Case, Observation};
use crate::rules::{Layer, Site};
use crate::verdict::{Finding, Judged, Kind, Remark, Verdict};

/// One modem: what was read of it, and the verdict on it.
#[derive(Debug)]
pub struct Device {
    /// What was read.
    pub case: Case,
    /// The verdict.
    pub verdict: Verdict,
}

impl Device {
    /// The equipment number, if it was read.
    pub fn number(&self) -> Option<&Observation<String>> {
        self.case.device.imei.latest()
    }

    /// How bad the verdict is: a fault, then too little to tell, then connected.
    const fn badness(&self) -> u8 {
        match self.verdict.finding {
            Finding::Fault(_) => 2,
            Finding::Unclear => 1,
            Finding::Connected { .. } => 0,
        }
    }
}

/// Judges every modem of a text, in its order.
pub(super) fn all(capture: &Capture<'_>, basis: &Basis<'_>) -> Result<Vec<Device>, UnknownProfile> {
    let mut last = Case::read(capture);
    let mut cases = std::mem::take(&mut last.others);
    cases.push(last);
    cases.into_iter().map(|case| judged(case, basis)).collect()
}

fn judged(case: Case, basis: &Basis<'_>) -> Result<Device, UnknownProfile> {
    let choice = Choice::make(basis.profiles, &case, basis.carrier)?;
    let site = Site::chosen(&case, &choice, basis.profiles);
    let mut verdict = Verdict::reach(&site);
    if choice.carrier.is_some() || choice.tied || profile_would_help(&case, &verdict) {
        verdict.note_profile(choice.sentence);
    }
    choice.unreadable.into_iter().for_each(|sentence| verdict.note_profile(sentence));
    Ok(Device { case, verdict })
}

/// Whether a carrier's profile has something to be held against: access point names that were read, or a cause on the
/// radio or in the data session.
fn profile_would_help(case: &Case, verdict: &Verdict) -> bool {
    let found = |j: &Judged| {
        j.certainty().is_some() && matches!(j.rule.layer(), Layer::Radio | Layer::Bearer)
    };
    case.sessions.contexts.iter().next().is_some() || verdict.judged.iter().any(found)
}

/// The place of the modem whose verdict decides: the worst, of equally bad ones the last.
pub(super) fn worst(devices: &[Device]) -> usize {
    let places = devices.iter().enumerate();
    places.max_by_key(|(at, device)| (device.badness(), *at)).map_or(0, |(at, _)| at)
}

/// What is said of the other modems beside the verdict that decides.
pub(super) fn remarks(devices: &[Device], chosen: usize) -> Vec<Remark> {
    let count = devices.len();
    let others = devices.iter().enumerate().filter(|(at, _)| *at != chosen);
    others
        .map(|(at, device)| Remark {
            kind: Kind::Text,
            text: format!(
                "The text has the output of {count} modems; the verdict is that of number {}. Of number {}: {}",
                chosen + 1,
                at + 1,
                device.verdict.summary
            ),
            evidence: device
                .number()
                .map(|n| n.says("another modem's equipment number (IMEI)"))
                .into_iter()
                .collect(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carrier::ProfileStore;
    use crate::explanation::{Explanation, View};

    const HEALTHY: &str = "AT\nOK\nAT+CGSN\n004401152020008\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK\n";
    const NO_CARD: &str = "AT\nOK\nAT+CGSN\n004400152020000\nOK\nAT+CPIN?\n+CME ERROR: 10\n";

    #[test]
    fn the_worst_modem_decides_wherever_it_stands() {
        let profiles = ProfileStore::default();
        for (text, chosen) in
            [(format!("{NO_CARD}{HEALTHY}"), 0), (format!("{HEALTHY}{NO_CARD}"), 1)]
        {
            let basis = Basis::of(&profiles);
            let explanation = Explanation::of(&text, Vec::new(), &basis, View::default()).unwrap();
            assert_eq!(explanation.verdict().id(), "card/not-detected", "{text}");
            assert_eq!((explanation.devices.len(), explanation.chosen), (2, chosen));
            let said = |r: &&Remark| r.text.contains("2 modems");
            assert_eq!(explanation.verdict().remarks.iter().filter(said).count(), 1);
        }
    }

    #[test]
    fn a_profile_that_cannot_be_read_is_named_where_it_may_be_the_cards() {
        let told = |text: &str, toml: &str| {
            let mut profiles = ProfileStore::shipped();
            profiles.add(std::path::Path::new("/home/ann/own.toml"), toml.to_owned());
            let basis = Basis::of(&profiles);
            let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
            let remarks = explanation.verdict().remarks.iter();
            remarks.filter(|r| r.text.contains("cannot be read")).map(|r| r.text.clone()).collect()
        };
        let card = "AT+CIMI\n999700123456789\nOK\n";
        let broken = "name = \"Own\"\nnetworks = [\"99970\"]\nacess = 7\n";
        let of_card: Vec<String> = told(card, broken);
        assert!(
            of_card[0].contains("own.toml, line 3") && !of_card[0].contains("home"),
            "{of_card:?}"
        );
        assert_eq!(told(card, "name = \"Own\"\nnetworks = [\"99970\"]\n"), Vec::<String>::new());
        assert_eq!(
            told(card, &broken.replace("99970", "00199")),
            Vec::<String>::new(),
            "another card's"
        );
        assert_eq!(told("AT\nOK\n", broken), Vec::<String>::new(), "no card at all");
    }

    #[test]
    fn a_missing_profile_is_told_only_where_one_would_help() {
        let profiles = ProfileStore::default();
        let told = |text: &str| {
            let basis = Basis::of(&profiles);
            let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
            explanation.verdict().remarks.iter().any(|r| r.kind == Kind::Profile)
        };
        assert!(!told(NO_CARD));
        assert!(!told("AT\nOK\n"));
        assert!(told("AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauge.example\"\nOK\n"));
    }
}
