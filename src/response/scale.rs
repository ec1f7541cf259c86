//! The scales on which vendors print levels: plain numbers, parts, and indices into steps.
//!
//! Vendors reuse the indices of the standards, whose steps are in [`crate::reference::index`], and
//! have some of their own; an index gives the lower edge of its step.

use crate::reference::index;

/// How the number in a field stands for a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Scale {
    /// The value itself.
    Plain,
    /// Whole parts of the value: 10 for tenths, 100 for hundredths.
    Parts(f64),
    /// An index of the standards, by its name in the table.
    Index(&'static str),
    /// An index into steps of a vendor: index 0 lies below the first edge and has no value.
    Steps {
        /// The lower edge of step 0, if it had one.
        base: f64,
        /// The width of a step.
        step: f64,
        /// The last index.
        last: f64,
    },
}

const fn steps(base: f64, step: f64, last: f64) -> Scale {
    Scale::Steps { base, step, last }
}

/// E-UTRA RSRP.
pub(super) const RSRP: Scale = Scale::Index("rsrp");
/// E-UTRA RSRQ.
pub(super) const RSRQ: Scale = Scale::Index("rsrq");
/// UTRA RSCP.
pub(super) const RSCP: Scale = Scale::Index("rscp");
/// GSM received level.
pub(super) const RXLEV: Scale = Scale::Index("rxlev");
/// SINR in fifths of a decibel from -20 dB, as vendors print it.
pub(super) const FIFTHS_SINR: Scale = steps(-20.0, 0.2, 250.0);
/// SINR in fifths of a decibel from -20.2 dB.
pub(super) const FIFTHS_HCSQ: Scale = steps(-20.2, 0.2, 251.0);
/// Ec/Io in halves of a decibel from -32.5 dB.
pub(super) const HALVES_ECIO: Scale = steps(-32.5, 0.5, 65.0);
/// Received strength in steps from -121 dBm.
pub(super) const RSSI_121: Scale = steps(-121.0, 1.0, 96.0);
/// Signal to noise ratio in whole decibels from -25 dB.
pub(super) const SNR_25: Scale = steps(-25.0, 1.0, 60.0);
/// NR SS-RSRP.
pub(super) const SS_RSRP: Scale = Scale::Index("ss-rsrp");
/// NR SS-RSRQ.
pub(super) const SS_RSRQ: Scale = Scale::Index("ss-rsrq");

impl Scale {
    /// The value, to the hundredth; `None` where the index names no step with a lower edge.
    pub(super) fn value(self, raw: f64) -> Option<f64> {
        let value = match self {
            Self::Plain => raw,
            Self::Parts(parts) => raw / parts,
            Self::Index(name) => {
                if !(0.0..=f64::from(u16::MAX)).contains(&raw) || raw.fract() != 0.0 {
                    return None;
                }
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a whole number of 16 bits"
                )]
                let step = index::map(name)?.range(raw as u16)?;
                step.low?
            }
            Self::Steps { base, step, last } => {
                if !(raw > 0.0 && raw <= last) {
                    return None;
                }
                raw * step + base
            }
        };
        Some((value * 100.0).round() / 100.0)
    }

    pub(super) const fn is_index(self) -> bool {
        matches!(self, Self::Steps { .. } | Self::Index(_))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_index_gives_the_lower_edge_of_its_step() {
        for scale in [RSRP, RSRQ, RSCP, RXLEV, SS_RSRP, SS_RSRQ] {
            assert!(scale.value(1.0).is_some(), "{scale:?} is in the table");
        }
        assert_eq!(RSRP.value(48.0), Some(-93.0));
        assert_eq!(RSRQ.value(34.0), Some(-3.0));
        assert_eq!(SS_RSRQ.value(84.0), Some(-1.5));
        assert_eq!(RSCP.value(96.0), Some(-25.0));
    }

    #[test]
    fn the_step_below_the_range_has_no_value() {
        assert_eq!(RSRP.value(0.0), None);
        assert_eq!(RSRP.value(98.0), None);
    }
}
