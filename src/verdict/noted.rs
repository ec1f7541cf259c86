//! What modem and card say of themselves beside the cause: settings worth a look, what the card
//! remembers, readings that stayed unsettled.

use super::remark::{Kind, Remark};
use crate::case::{Case, Evidence, Observation, ReportedBy};
use crate::case::{Cell, Power, Quantity, Sim};
use crate::rules::{data_registered, registration_status};

/// Appends what is worth a remark.
pub(super) fn all(case: &Case, healthy: bool, remarks: &mut Vec<Remark>) {
    let mut note = |kind, text: String, evidence: Vec<Evidence>| {
        remarks.push(Remark { kind, text, evidence });
    };
    unsettled(case, &mut note);
    if let Some(order) = &case.gave_up {
        let words = "The state before the host gave up is what counts: what it ordered then is not the cause.";
        note(Kind::Text, words.into(), vec![order.clone()]);
    }
    for kept in &case.dialogue.not_kept {
        note(
            Kind::Setting,
            format!(
                "`{}` was set to {} and reads {} afterwards: the modem did not keep it, or a later command changed it again.",
                kept.setting, kept.set, kept.read
            ),
            vec![Evidence {
                span: kept.span,
                says: "reads back with another value".into(),
                by: ReportedBy::Modem,
            }],
        );
    }
    if !healthy {
        settings(case, &mut note);
        memory(case, &mut note);
    }
    sleep(case, &mut note);
    facilities(case, healthy, &mut note);
}

/// The latest uncertainty of each quantity, where no other reading settled it.
fn unsettled(case: &Case, note: &mut impl FnMut(Kind, String, Vec<Evidence>)) {
    let mut noted = Vec::new();
    for o in case.radio.uncertain.all().iter().rev().filter(|o| o.value.cell == Cell::Serving) {
        let quantity = o.value.quantity;
        let settled = case.level(quantity).is_some_and(|(value, _)| value.is_some());
        if settled || noted.contains(&quantity) {
            continue;
        }
        noted.push(quantity);
        let (name, unit) = called(quantity);
        let text = match o.value.between {
            Some((low, high)) => format!(
                "{name} is not settled: {}. It lies between {low} and {high} {}.",
                o.value.why, unit
            ),
            None => format!("{name} is not settled: {}.", o.value.why),
        };
        note(
            Kind::Uncertainty,
            text,
            vec![o.says("a number that can be read in more than one way")],
        );
    }
}

/// The name in the trade and the unit of a quantity that can stay unsettled.
const fn called(quantity: Quantity) -> (&'static str, &'static str) {
    match quantity {
        Quantity::Sinr => ("SINR (signal over interference and noise)", "dB"),
        Quantity::Rsrq => ("RSRQ (quality of the cell's reference signal)", "dB"),
        Quantity::EcNo => ("Ec/Io (quality of a 3G cell)", "dB"),
        Quantity::Rscp => ("RSCP (level of a 3G cell)", "dBm"),
        other => (other.name(), ""),
    }
}

fn settings(case: &Case, note: &mut impl FnMut(Kind, String, Vec<Evidence>)) {
    if let Some(o) = case.device.operator_profile.latest().filter(|o| o.value != "number 0") {
        note(
            Kind::Setting,
            format!(
                "The firmware runs with an operator profile ({}): one that was made for another carrier can hide bands, technologies or commands.",
                o.value
            ),
            vec![o.says("the profile that is active")],
        );
    }
    let empty = case.card.state.latest().filter(|o| o.value == Sim::NotInserted);
    if let (Some(slot), Some(empty)) = (case.card.slot.latest(), empty) {
        note(
            Kind::Setting,
            format!(
                "Card slot {} is the one in use: look whether the card sits in another.",
                slot.value
            ),
            vec![slot.says("the slot in use"), empty.says("no card there")],
        );
    }
}

/// What the card keeps over a power cycle.
fn memory(case: &Case, note: &mut impl FnMut(Kind, String, Vec<Evidence>)) {
    if let Some(o) = case.card.location.latest().filter(|o| {
        ["roaming not allowed", "PLMN not allowed", "location area not allowed"]
            .iter()
            .any(|s| o.value.state.eq_ignore_ascii_case(s))
    }) {
        let place = o.value.plmn.as_ref().map_or(String::new(), |p| format!(" in network {p}"));
        note(
            Kind::History,
            format!(
                "The card remembers that its last registration{place} ended as \"{}\".",
                o.value.state
            ),
            vec![o.says("the update state that the card keeps")],
        );
    }
    let barred = case.card.access_classes.latest().filter(|o| o.value.iter().all(|c| *c > 9));
    if let Some(o) = barred {
        note(
            Kind::Uncertainty,
            "The card carries none of the access classes 0 to 9 that every subscriber's card has (TS 22.011 §4.2): a busy or barred cell may keep it out.".into(),
            vec![o.says("access classes of the card")],
        );
    }
    if let Some(o) =
        case.registration.network_time.latest().filter(|_| registration_status(case).is_none())
    {
        note(
            Kind::History,
            "The network sent the modem its time, as it does for a registered modem.".into(),
            vec![o.says("the network's time")],
        );
    }
}

fn sleep(case: &Case, note: &mut impl FnMut(Kind, String, Vec<Evidence>)) {
    let asleep = case.device.power.latest().filter(|o| o.value == Power::Asleep);
    if let Some(o) = asleep {
        note(
            Kind::Setting,
            "The modem went to sleep to save power: silence after this is no fault; it wakes by its own timer or by its wake-up pin.".into(),
            vec![o.says("power saving begins")],
        );
    } else if let (Some(o), true) =
        (case.device.power_saving.latest().filter(|o| o.value), case.dialogue.unanswered > 0)
    {
        note(
            Kind::Setting,
            "Power saving is on: a modem that sleeps does not answer, and is not dead.".into(),
            vec![o.says("power saving mode is on")],
        );
    }
}

fn facilities(case: &Case, healthy: bool, note: &mut impl FnMut(Kind, String, Vec<Evidence>)) {
    let on = |codes: &[&str]| -> Option<&Observation<(String, bool)>> {
        codes
            .iter()
            .filter_map(|code| case.card.facilities.all().iter().rev().find(|o| o.value.0 == *code))
            .find(|o| o.value.1)
    };
    if let Some(o) = on(&["PN", "PU", "PP", "PC", "PF", "PS"]).filter(|_| !healthy) {
        note(
            Kind::Setting,
            "The device is bound (personalisation, TS 22.022): a card that is not of its own carrier will not work in it.".into(),
            vec![o.says("a personalisation lock that is on")],
        );
    }
    if let Some(o) = on(&["SC"]) {
        let mut evidence = vec![o.says("the card's PIN is asked at each start")];
        evidence.extend(data_registered(case));
        note(
            if healthy { Kind::Reserve } else { Kind::Setting },
            "The card asks its PIN at each start: unless the host gives it, the site stays dark after a power cut.".into(),
            evidence,
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::verdict::{Kind, Remark};

    fn remarks(text: &str, healthy: bool) -> Vec<Remark> {
        let mut found = Vec::new();
        super::all(&Case::read(&Capture::new(text)), healthy, &mut found);
        found
    }

    #[test]
    fn an_unsettled_reading_is_told_until_another_settles_it() {
        let cell = "+QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,B3477D1,188,6300,20,3,3,900,-104,-9,-78,11,23\n";
        let found = remarks(cell, false);
        assert!(
            found.iter().any(|r| r.kind == Kind::Uncertainty && r.text.starts_with("SINR")),
            "{found:?}"
        );
        let settled = remarks(&format!("{cell}+QCSQ: \"LTE\",-78,-104,120,-9\n"), false);
        assert!(settled.iter().all(|r| r.kind != Kind::Uncertainty), "{settled:?}");
    }

    #[test]
    fn what_the_card_remembers_is_history() {
        let text =
            "AT+CRSM=176,28643,0,0,18\n+CRSM: 144,0,\"FFFFFFFFFFFFFFFFFFFFFFFF00F11000FF02\"\nOK\n";
        let found = remarks(text, false);
        assert!(found[0].text.contains("roaming not allowed"), "{found:?}");
        assert!(remarks(text, true).is_empty());
    }

    #[test]
    fn sleep_and_locks_are_settings() {
        let asleep = remarks("+CPSMSTATUS: \"ENTER PSM\"\n", false);
        assert_eq!(asleep[0].kind, Kind::Setting);
        let bound = remarks("AT+CLCK=\"PN\",2\n+CLCK: 1\nOK\n", false);
        assert!(bound[0].text.contains("bound"), "{bound:?}");
        let pin = remarks("AT+CLCK=\"SC\",2\n+CLCK: 1\nOK\n", true);
        assert_eq!(pin[0].kind, Kind::Reserve);
        let off = "AT+CLCK=\"SC\",2\n+CLCK: 1\nOK\nAT+CLCK=\"SC\",2\n+CLCK: 0\nOK\n";
        assert!(remarks(off, true).is_empty(), "the later state wins");
    }

    #[test]
    fn a_slot_in_use_counts_where_no_card_is_seen() {
        let text = "AT+QUIMSLOT?\n+QUIMSLOT: 2\nOK\nAT+CPIN?\n+CME ERROR: 10\n";
        assert!(remarks(text, false)[0].text.contains("slot 2"));
    }
}
