//! Readings that cannot be, or do not fit each other: a conflict between readings.

use super::Quantity;
use super::{Case, Evidence, Observation, Reading};
use crate::reference::bands::{lte_band, lte_channel};
use crate::reference::{radio, rates};

/// A conflict between readings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// What does not fit, with the likeliest reason.
    pub text: String,
    /// The readings.
    pub evidence: Vec<Evidence>,
}

/// Readings within so many observations of each other were taken together.
const TOGETHER: usize = 12;
/// RSRQ is rounded, and taken at another moment than RSSI; beyond this it does not fit, dB.
const MISFIT_DB: f64 = 8.0;

type Number<'c> = (f64, &'c Observation<Reading>);

/// Everything that does not fit, from the latest readings of the serving cell.
pub fn conflicts(case: &Case) -> Vec<Conflict> {
    let number = |quantity: Quantity| -> Option<Number<'_>> {
        case.levels(quantity).find_map(|(value, o)| Some((value?, o)))
    };
    let together = |a: &Number<'_>, b: &Number<'_>| a.1.order.abs_diff(b.1.order) <= TOGETHER;
    let says = |n: &Number<'_>, name: &str, unit: &str| n.1.says(format!("{name} {} {unit}", n.0));
    let mut found = Vec::new();
    let (rsrp, rssi, rsrq) =
        (number(Quantity::Rsrp), number(Quantity::Rssi), number(Quantity::Rsrq));
    if let (Some(rsrp), Some(rssi)) = (rsrp, rssi) {
        if together(&rsrp, &rssi) && rsrp.0 > rssi.0 {
            found.push(Conflict {
                text: "RSRP, the power of single reference signals, stands above RSSI, the power of the whole channel, which cannot be: \
                       fields were perhaps shifted by the firmware, or the two belong to different technologies."
                    .into(),
                evidence: vec![says(&rsrp, "RSRP", "dBm"), says(&rssi, "RSSI", "dBm")],
            });
        } else if let (Some(rsrq), Some(width)) = (rsrq, number(Quantity::BandwidthMhz)) {
            let blocks = rates::resource_blocks(width.0);
            let fits = blocks
                .is_none_or(|n| (radio::rsrq_db(rsrp.0, rssi.0, n) - rsrq.0).abs() <= MISFIT_DB);
            if together(&rsrp, &rsrq) && together(&rsrp, &rssi) && !fits {
                found.push(Conflict {
                    text: format!(
                        "RSRQ does not fit RSRP, RSSI and a channel of {} MHz (TS 36.214 §5.1.3): one of them was perhaps read wrongly.",
                        width.0
                    ),
                    evidence: vec![says(&rsrp, "RSRP", "dBm"), says(&rssi, "RSSI", "dBm"), says(&rsrq, "RSRQ", "dB")],
                });
            }
        }
    }
    if let (Some(band), Some(channel)) = (number(Quantity::Band), number(Quantity::Earfcn)) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "within the ranges of their quantities"
        )]
        let (b, n) = (band.0 as u16, channel.0 as u32);
        let of = lte_channel(n).map(|c| c.band.number);
        if together(&band, &channel) && lte_band(b).is_some() && of.is_some_and(|of| of != b) {
            found.push(Conflict {
                text: format!(
                    "Channel {n} belongs to band {}, not to band {b} (TS 36.101 table 5.7.3-1).",
                    of.unwrap_or(b)
                ),
                evidence: vec![says(&band, "band", ""), says(&channel, "channel", "")],
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;

    fn texts(text: &str) -> Vec<String> {
        conflicts(&Case::read(&Capture::new(text))).into_iter().map(|d| d.text).collect()
    }

    #[test]
    fn what_cannot_be_is_reported() {
        let impossible = texts("+QCSQ: \"LTE\",-95,-80,100,-12\n");
        assert!(impossible[0].contains("RSRP"), "{impossible:?}");
        let wrong_band = texts("+QNWINFO: \"FDD LTE\",\"00101\",\"LTE BAND 3\",6300\n");
        assert_eq!(
            wrong_band,
            ["Channel 6300 belongs to band 20, not to band 3 (TS 36.101 table 5.7.3-1)."]
        );
    }

    #[test]
    fn what_fits_is_not() {
        assert_eq!(texts("+QCSQ: \"LTE\",-65,-95,150,-11\n"), Vec::<String>::new());
        assert_eq!(
            texts("+QNWINFO: \"FDD LTE\",\"00101\",\"LTE BAND 20\",6300\n"),
            Vec::<String>::new()
        );
    }
}
