//! What limits a spot, noise or interference, and the rate that could be had there at most.

use crate::reference::rates;
use serde::{Deserialize, Serialize};

/// Thermal noise in one subcarrier of 15 kHz at 290 K (−174 dBm/Hz) and 7 dB of receiver noise
/// (common practice, no source), dBm.
pub const NOISE_DBM: f64 = -125.2;

/// What keeps a spot from doing better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Limit {
    /// Too little signal over the receiver's noise: a higher or better antenna helps.
    Noise,
    /// Other cells are too strong beside the serving one: direction and another band help, gain does not.
    Interference,
    /// Signal and quality are both good.
    Neither,
    /// The modem reports too little to say.
    NotKnown,
}

impl Limit {
    /// In words, with what helps.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Noise => {
                "limited by noise: more height, a better antenna or a shorter cable help"
            }
            Self::Interference => {
                "limited by interference: another direction, place or band helps, more gain alone does not"
            }
            Self::Neither => "limited by neither noise nor interference",
            Self::NotKnown => "not known: the modem gave neither SINR nor RSRQ beside the level",
        }
    }
}

/// Tells noise from interference by the median levels of one cell.
///
/// With SINR: if noise alone would leave clearly more than was measured, others disturb. Without:
/// RSRQ cannot fall below −10.8 dB through the cell's own load (12 full subcarriers of a resource block,
/// TS 36.214 §5.1.3 and arithmetic), so what is missing below comes from noise, as far as the level
/// explains it, or from others.
pub fn limit(rsrp_dbm: Option<f64>, rsrq_db: Option<f64>, sinr_db: Option<f64>) -> Limit {
    let Some(rsrp) = rsrp_dbm else {
        return Limit::NotKnown;
    };
    let over_noise = rsrp - NOISE_DBM;
    match (sinr_db, rsrq_db) {
        (Some(sinr), _) if sinr >= 13.0 => Limit::Neither,
        (Some(sinr), _) => {
            if over_noise - sinr > 6.0 {
                Limit::Interference
            } else {
                Limit::Noise
            }
        }
        (None, Some(rsrq)) => {
            if rsrq >= -12.0 {
                return if over_noise < 10.0 { Limit::Noise } else { Limit::Neither };
            }
            let with_noise_alone = -10.0 * (12.0 * (1.0 + 10f64.powf(-over_noise / 10.0))).log10();
            if with_noise_alone - rsrq > 2.0 { Limit::Interference } else { Limit::Noise }
        }
        (None, None) => Limit::NotKnown,
    }
}

/// The most that one receive layer could carry downwards, Mbit/s, the whole cell for one device.
///
/// TR 36.942 §A.2 (from memory): 0.6 of Shannon's bound above −10 dB, at most 4.4 bit/s a hertz.
/// The device's category, the load of the cell and the plan lower it.
pub fn ceiling_mbit_s(sinr_db: f64, bandwidth_mhz: f64) -> f64 {
    if sinr_db < -10.0 {
        return 0.0;
    }
    let efficiency = (0.6 * (1.0 + 10f64.powf(sinr_db / 10.0)).log2()).min(4.4);
    let occupied_mhz = rates::resource_blocks(bandwidth_mhz)
        .map_or(bandwidth_mhz * 0.9, |blocks| f64::from(blocks) * 0.18);
    efficiency * occupied_mhz
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weak_and_clean_is_noise_and_strong_and_dirty_is_interference() {
        assert_eq!(limit(Some(-120.0), Some(-14.0), Some(4.0)), Limit::Noise);
        assert_eq!(limit(Some(-85.0), Some(-15.0), Some(1.0)), Limit::Interference);
        assert_eq!(limit(Some(-85.0), Some(-9.0), Some(20.0)), Limit::Neither);
    }

    #[test]
    fn without_sinr_the_quality_decides_as_far_as_noise_explains_it() {
        assert_eq!(limit(Some(-85.0), Some(-16.0), None), Limit::Interference);
        assert_eq!(limit(Some(-126.0), Some(-14.0), None), Limit::Noise);
        assert_eq!(limit(Some(-90.0), Some(-10.0), None), Limit::Neither);
        assert_eq!(limit(Some(-90.0), None, None), Limit::NotKnown);
        assert_eq!(limit(None, Some(-10.0), Some(3.0)), Limit::NotKnown);
    }

    #[test]
    fn the_rate_is_bounded_by_the_highest_modulation() {
        // 20 MHz: 100 resource blocks of 180 kHz, 4.4 bit/s/Hz.
        assert!((ceiling_mbit_s(40.0, 20.0) - 79.2).abs() < 1e-9);
        assert!((ceiling_mbit_s(0.0, 10.0) - 0.6 * 9.0).abs() < 1e-9);
        assert!(ceiling_mbit_s(-11.0, 10.0) < 1e-9);
    }
}
