//! Two captures of one site: finding, registration, network, cell, settings and levels.

use super::{Change, OTHER_NETWORK};
use crate::case::{Case, Domain, Quantity, Value};
use crate::verdict::{Finding, Verdict};

/// So much between two single readings is fading alone; common practice, no source.
const FADING_DB: f64 = 6.0;

/// What changed from one capture to the other, with their verdicts.
pub fn captures(before: (&Case, &Verdict), after: (&Case, &Verdict)) -> Vec<Change> {
    let mut changes: Vec<Change> = registration(before.0, after.0).into_iter().collect();
    let healthy = |v: &Verdict| matches!(v.finding, Finding::Connected { .. });
    if before.1.id() != after.1.id() {
        let worse = match (healthy(before.1), healthy(after.1)) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        };
        changes.push(Change {
            worse,
            what: format!(
                "the finding was {}, and is {}: {}",
                before.1.id(),
                after.1.id(),
                after.1.summary
            ),
            reason: "see `mastside explain` of the later one",
        });
    }
    let word = |case: &Case, q: Quantity| {
        case.radio.readings.all().iter().rev().find(|o| o.value.quantity == q).map(|o| {
            match &o.value.value {
                Value::Number(Some(n)) => n.to_string(),
                Value::Number(None) => "unknown".into(),
                Value::Word(w) => w.to_string(),
            }
        })
    };
    let network = |case: &Case| Some(word(case, Quantity::Mcc)? + &word(case, Quantity::Mnc)?);
    if let (Some(a), Some(b)) = (network(before.0), network(after.0))
        && a != b
    {
        changes.push(Change {
            worse: Some(true),
            what: format!("the network was {a}, and is {b}"),
            reason: OTHER_NETWORK,
        });
    }
    for (quantity, name, reason) in [
        (
            Quantity::Band,
            "band",
            "the modem went to another carrier frequency: a cell is off, busy or weaker, or the antenna looks elsewhere",
        ),
        (Quantity::Earfcn, "channel", "another carrier frequency of the network"),
        (
            Quantity::Pci,
            "cell (PCI)",
            "another cell serves: a mast is off, or the antenna was turned",
        ),
        (
            Quantity::CellId,
            "cell identity",
            "another cell serves: a mast is off, or the antenna was turned",
        ),
        (Quantity::TacHex, "area", "another area of the network"),
        (
            Quantity::Apn,
            "access point name",
            "somebody, or the carrier's own management, wrote another name",
        ),
    ] {
        if let (Some(a), Some(b)) = (word(before.0, quantity), word(after.0, quantity))
            && a != b
        {
            changes.push(Change {
                worse: None,
                what: format!("the {name} was {a}, and is {b}"),
                reason,
            });
        }
    }
    let text = |h: &crate::case::History<String>| h.latest().map(|o| o.value.clone());
    for (a, b, name, reason) in [
        (text(&before.0.device.firmware), text(&after.0.device.firmware), "firmware", "an update"),
        (text(&before.0.card.iccid), text(&after.0.card.iccid), "card", "the card was changed"),
        (text(&before.0.device.imei), text(&after.0.device.imei), "modem", "the modem was changed"),
    ] {
        if let (Some(a), Some(b)) = (a, b)
            && a != b
        {
            changes.push(Change {
                worse: None,
                what: format!(
                    "the {name} was {}, and is {}",
                    crate::identity::mask(&a),
                    crate::identity::mask(&b)
                ),
                reason,
            });
        }
    }
    for (quantity, name) in [
        (Quantity::Rsrp, "level (RSRP)"),
        (Quantity::Sinr, "SINR"),
        (Quantity::Rsrq, "quality (RSRQ)"),
    ] {
        let level = |case: &Case| case.level(quantity).and_then(|(v, _)| v);
        if let (Some(a), Some(b)) = (level(before.0), level(after.0))
            && (a - b).abs() >= FADING_DB
        {
            changes.push(Change {
                worse: Some(b < a),
                what: format!("the {name} was {a}, and is {b} ({:+.1} dB)", b - a),
                reason: if b < a {
                    "water in a connector, a turned or damaged antenna, leaves, or another cell"
                } else {
                    "the antenna, its place or the cell is better"
                },
            });
        }
    }
    changes
}

/// Whether the registration for data was lost or came.
fn registration(before: &Case, after: &Case) -> Option<Change> {
    let state = |case: &Case| {
        let latest = case.registration.states.values().filter_map(|h| h.latest());
        let data: Vec<_> = latest.filter(|o| o.value.domain != Domain::Circuit).collect();
        let registered = data.iter().any(|o| o.value.is_registered());
        data.last().map(|last| (registered, last.value.stat))
    };
    let ((was, _), (is, stat)) = (state(before)?, state(after)?);
    match (was, is) {
        (true, false) => Some(Change {
            worse: Some(true),
            what: format!("the modem was registered, and is not any more (state {stat})"),
            reason: "see `mastside explain` of the later one",
        }),
        (false, true) => Some(Change {
            worse: Some(false),
            what: "the modem was not registered, and is now".into(),
            reason: "what was in the way is gone",
        }),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;

    fn of(before: &str, after: &str) -> Vec<Change> {
        let (a, b) = (Case::read(&Capture::new(before)), Case::read(&Capture::new(after)));
        let (v, w) = (crate::verdict::explain(&a), crate::verdict::explain(&b));
        captures((&a, &v), (&b, &w))
    }

    #[test]
    fn what_matters_is_told_and_fading_is_not() {
        let up = "AT+CEREG?\n+CEREG: 2,1,\"0A11\",\"0003A2B1\",7\nOK\nAT+CESQ\n+CESQ: 99,99,255,255,20,48\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK";
        assert_eq!(of(up, &up.replace("20,48", "20,50")), []);
        let down = of(up, &up.replace("20,48", "20,30"));
        assert!(
            down.iter().any(|c| c.worse == Some(true) && c.what.contains("-18.0 dB")),
            "{down:?}"
        );
        let off = of(up, "AT+CEREG?\n+CEREG: 0,2\nOK");
        assert_eq!(off[0].worse, Some(true));
    }

    #[test]
    fn a_lost_registration_and_another_network_are_for_the_worse() {
        let up = "AT+CEREG?\n+CEREG: 2,1,\"0A11\",\"0003A2B1\",7\nOK\n";
        for down in ["AT+CEREG?\n+CEREG: 0,2\nOK\n", "AT+CEREG?\n+CEREG: 0,3\nOK\n"] {
            let changes = of(up, down);
            assert!(changes[0].what.contains("not any more") && changes[0].worse == Some(true));
        }
    }
}
