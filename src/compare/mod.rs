//! Two captures, surveys or acceptance records of one site: what changed that matters, in words,
//! with the likeliest reason of each.

mod records;

pub use records::records;

use crate::case::Quantity;
use crate::case::{Case, Value};
use crate::statistics::difference;
use crate::survey::analysis::Analysis;
use crate::survey::spot::CellSeries;
use crate::verdict::{Finding, Verdict};

/// One change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Whether it is for the worse; `None` where it is neither.
    pub worse: Option<bool>,
    /// What changed.
    pub what: String,
    /// The likeliest reason; common practice, no source.
    pub reason: &'static str,
}

/// So much between two single readings is fading alone; common practice, no source.
const FADING_DB: f64 = 6.0;

/// What changed from one capture to the other, with their verdicts.
pub fn captures(before: (&Case, &Verdict), after: (&Case, &Verdict)) -> Vec<Change> {
    let mut changes = Vec::new();
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

/// What changed from one survey to the other, spot by spot.
pub fn surveys(before: &Analysis, after: &Analysis) -> Vec<Change> {
    let mut changes = Vec::new();
    for spot in &before.spots {
        let Some(now) = after.named(&spot.name) else {
            changes.push(Change {
                worse: None,
                what: format!("the spot {} is not in the later survey", spot.name),
                reason: "it was left out",
            });
            continue;
        };
        let (Some(a), Some(b)) = (spot.main(), now.main()) else { continue };
        let same_cell = a.cell.may_be(&b.cell);
        if !same_cell {
            changes.push(Change {
                worse: None,
                what: format!("{}: {} served, and now {}", spot.name, a.cell, b.cell),
                reason: "a mast is off, or the antenna was turned",
            });
        }
        let Some(d) = difference(&b.rsrp, &a.rsrp) else { continue };
        if d.is_shown() {
            changes.push(Change {
                worse: Some(d.shift_db < 0.0),
                what: format!("{}: the level changed by {:+.1} dB (95 % bounds {:+.1} to {:+.1} dB), more than its own spread", spot.name, d.shift_db, d.low_db, d.high_db),
                reason: match (d.shift_db < 0.0, same_cell) {
                    (true, true) => "water in a connector, a turned or damaged antenna, leaves, or less power at the mast",
                    (true, false) => "another, weaker cell serves",
                    (false, _) => "the antenna, its place or the cell is better",
                },
            });
        }
        if same_cell {
            branches(&spot.name, a, b, &mut changes);
        }
    }
    changes
}

/// Branches that fell silent, and those that changed where others did not.
fn branches(spot: &str, before: &CellSeries, after: &CellSeries, changes: &mut Vec<Change>) {
    const ONE_FEED: &str = "the cable, connector or antenna of that branch alone";
    let (was, is) = (before.receiving(), after.receiving());
    if is.is_empty() {
        return;
    }
    let mut moved = Vec::new();
    for (port, series) in &was {
        match is.iter().find(|(p, _)| p == port) {
            None => changes.push(Change {
                worse: Some(true),
                what: format!("{spot}: antenna branch {port} tells no level any more"),
                reason: ONE_FEED,
            }),
            Some((_, now)) => moved.extend(difference(now, series).map(|d| (*port, d))),
        }
    }
    let changed: Vec<_> = moved.iter().filter(|(_, d)| d.is_shown()).collect();
    if changed.len() < moved.len() {
        changes.extend(changed.into_iter().map(|(port, d)| Change {
            worse: Some(d.shift_db < 0.0),
            what: format!(
                "{spot}: the level of antenna branch {port} changed by {:+.1} dB (95 % bounds {:+.1} to {:+.1} dB), and that of another did not",
                d.shift_db, d.low_db, d.high_db
            ),
            reason: ONE_FEED,
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;
    use crate::survey::reading::Source;
    use crate::survey::sample::Sample;
    use crate::survey::simulate::{Pace, Place, Walker};

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

    fn analysed(seed: u64, loss: f64) -> Analysis {
        let text =
            std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/walk/huts.toml"))
                .unwrap();
        let mut place = Place::parse(&text).unwrap();
        place.seed = seed;
        for mast in &mut place.mast {
            mast.rsrp_at_100m_dbm -= loss;
        }
        let mut walker = Walker::new(place, Pace::AtOnce);
        let mut analysis = Analysis::default();
        let mut number = 0;
        while let Some(reading) = walker.read().unwrap() {
            number += 1;
            analysis.sample(&Sample::of(reading, number, 1, None));
        }
        analysis
    }

    /// A minute of samples whose two branches have these levels, dBm, with some fading.
    fn branched(first: f64, second: Option<f64>) -> Analysis {
        let mut analysis = Analysis::default();
        let mut sample = crate::survey::sample::tests_sample(1);
        for n in 0..600 {
            let fading = f64::from(n * 7 % 40) / 10.0 - 2.0;
            sample.at += chrono::Duration::milliseconds(100);
            sample.levels.rsrp_dbm = Some(first + fading);
            sample.branches_dbm = vec![Some(first + fading), second.map(|level| level + fading)];
            analysis.sample(&sample);
        }
        analysis
    }

    #[test]
    fn a_branch_that_is_lost_or_weaker_is_told_by_its_port() {
        let before = branched(-93.0, Some(-95.0));
        assert_eq!(surveys(&before, &before), []);
        let weaker = surveys(&before, &branched(-93.0, Some(-104.0)));
        assert_eq!(weaker.len(), 1);
        assert!(weaker[0].what.contains("branch 1 changed by -9.0 dB"), "{weaker:?}");
        let lost = surveys(&before, &branched(-93.0, None));
        assert!(lost[0].what.contains("branch 1 tells no level"), "{lost:?}");
        // Both alike is the level's own change, told once.
        let both = surveys(&before, &branched(-103.0, Some(-105.0)));
        assert_eq!(both.len(), 1, "{both:?}");
    }

    #[test]
    fn a_loss_at_the_antenna_is_found_at_every_spot_and_chance_at_few() {
        let before = analysed(1, 0.0);
        let worse: Vec<_> = surveys(&before, &analysed(2, 8.0))
            .into_iter()
            .filter(|c| c.worse == Some(true))
            .collect();
        assert_eq!(worse.len(), before.spots.len(), "{worse:?}");
        let chance =
            surveys(&before, &analysed(3, 0.0)).into_iter().filter(|c| c.worse.is_some()).count();
        assert!(chance <= 1, "{chance}");
    }
}
