//! The scales on which vendors print levels: plain numbers, parts, and indices into steps.
//!
//! The steps of the indices are those of TS 36.133 §9.1, TS 25.133 §9.1, TS 45.008 §8.1.4 and
//! TS 38.133 §10.1, which vendors reuse; an index gives the lower edge of its step.

/// How the number in a field stands for a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Scale {
    /// The value itself.
    Plain,
    /// Whole parts of the value: 10 for tenths, 100 for hundredths.
    Parts(f64),
    /// An index into steps: index 0 lies below the first edge and has no value.
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

/// E-UTRA RSRP (TS 36.133 §9.1.4).
pub(super) const RSRP: Scale = steps(-141.0, 1.0, 97.0);
/// E-UTRA RSRQ (TS 36.133 §9.1.7).
pub(super) const RSRQ: Scale = steps(-20.0, 0.5, 34.0);
/// UTRA RSCP (TS 25.133 §9.1.1).
pub(super) const RSCP: Scale = steps(-121.0, 1.0, 96.0);
/// GSM received level (TS 45.008 §8.1.4).
pub(super) const RXLEV: Scale = steps(-111.0, 1.0, 63.0);
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
/// NR SS-RSRP (TS 38.133 §10.1.6).
pub(super) const SS_RSRP: Scale = steps(-157.0, 1.0, 126.0);
/// NR SS-RSRQ (TS 38.133 §10.1.11).
pub(super) const SS_RSRQ: Scale = steps(-43.5, 0.5, 126.0);

impl Scale {
    /// The value, to the hundredth; `None` where the index names no step with a lower edge.
    pub(super) fn value(self, raw: f64) -> Option<f64> {
        let value = match self {
            Self::Plain => raw,
            Self::Parts(parts) => raw / parts,
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
        matches!(self, Self::Steps { .. })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_index_gives_the_lower_edge_of_its_step() {
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
