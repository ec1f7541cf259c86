//! Arithmetic between RSRP, RSRQ, RSSI and noise (TS 36.214 §5.1), and timing advance to distance.

/// RSRQ in dB from RSRP and RSSI in dBm over `blocks` resource blocks:
/// `10 log10(N) + RSRP - RSSI` (TS 36.214 §5.1.3).
pub fn rsrq_db(rsrp_dbm: f64, rssi_dbm: f64, blocks: u32) -> f64 {
    10.0 * f64::from(blocks).log10() + rsrp_dbm - rssi_dbm
}

/// RSSI in dBm from RSRP in dBm and RSRQ in dB over `blocks` resource blocks.
pub fn rssi_dbm(rsrp_dbm: f64, rsrq_db: f64, blocks: u32) -> f64 {
    10.0 * f64::from(blocks).log10() + rsrp_dbm - rsrq_db
}

/// RSRQ of an empty cell without noise, dB: RSSI holds the reference signals alone, two resource
/// elements of twelve in a block for one antenna port.
pub fn best_rsrq_db() -> f64 {
    -10.0 * 2f64.log10()
}

/// RSRQ of a fully loaded cell without noise or other cells, dB.
pub fn loaded_rsrq_db() -> f64 {
    -10.0 * 12f64.log10()
}

/// Bounds of SINR in dB from RSRQ in dB: the cell itself empty (lowest share of the RSSI) and
/// fully loaded. With a share x of the twelve elements of a block in use, a block's RSSI is
/// `RSRP × (12 x + I)` and `RSRQ = 1 / (12 x + I)`; SINR an element is `12 / I`, so that
/// `SINR = 12 / (1/RSRQ - 12 x)` for x between 1/6 (reference signals alone) and 1.
///
/// The upper bound is `None` where the load alone explains the RSRQ.
pub fn sinr_bounds_db(rsrq_db: f64) -> (Option<f64>, Option<f64>) {
    let inverse = 10f64.powf(-rsrq_db / 10.0);
    let at = |share: f64| {
        let rest = inverse - 12.0 * share;
        (rest > 0.0).then(|| 10.0 * (12.0 / rest).log10())
    };
    (at(1.0 / 6.0), at(1.0))
}

/// Thermal noise in dBm over a width in Hz at 290 K: `-174 + 10 log10(B)`, plus a receiver's noise
/// figure in dB.
pub fn noise_dbm(hertz: f64, noise_figure_db: f64) -> f64 {
    -173.975 + 10.0 * hertz.log10() + noise_figure_db
}

/// The width of one E-UTRA subcarrier, Hz: RSRP is the power in one.
pub const SUBCARRIER_HZ: f64 = 15_000.0;

/// The one-way distance of a timing advance in metres: E-UTRA steps of 16 Ts, Ts = 1/30.72 MHz
/// (TS 36.213 §4.2.3), there and back.
pub fn lte_distance_m(timing_advance: u32) -> f64 {
    f64::from(timing_advance) * 16.0 / 30.72e6 * LIGHT / 2.0
}

/// The one-way distance of a GSM timing advance in metres: steps of one bit of 48/13 µs
/// (TS 45.010 §5.6), there and back.
pub fn gsm_distance_m(timing_advance: u32) -> f64 {
    f64::from(timing_advance) * 48.0 / 13.0 * 1e-6 * LIGHT / 2.0
}

/// The speed of light, m/s.
const LIGHT: f64 = 299_792_458.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 0.01
    }

    #[test]
    fn worked_figures_of_the_formula() {
        // Arithmetic on the formula of TS 36.214 §5.1.3.
        assert!(near(rsrq_db(-95.0, -67.0, 50), -11.01));
        assert!(near(rsrq_db(-110.0, -83.0, 25), -13.02));
        assert!(near(rsrq_db(-80.0, -49.0, 100), -11.0));
        assert!(near(rssi_dbm(-95.0, -11.01, 50), -67.0));
        assert!(near(best_rsrq_db(), -3.01));
        assert!(near(loaded_rsrq_db(), -10.79));
    }

    #[test]
    fn bounds_hold_the_ratio() {
        let (idle, loaded) = sinr_bounds_db(-15.0);
        assert!(idle.unwrap() < loaded.unwrap());
        assert_eq!(sinr_bounds_db(-10.0).1, None);
    }

    #[test]
    fn noise_in_one_subcarrier() {
        assert!(near(noise_dbm(SUBCARRIER_HZ, 0.0), -132.21));
    }

    #[test]
    fn advance_is_distance_there_and_back() {
        assert!((lte_distance_m(1) - 78.07).abs() < 0.01);
        assert!((gsm_distance_m(1) - 553.46).abs() < 0.1);
    }
}
