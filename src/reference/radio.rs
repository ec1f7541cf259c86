//! Arithmetic between RSRP, RSRQ and RSSI (TS 36.214 §5.1).

/// RSRQ in dB from RSRP and RSSI in dBm over `blocks` resource blocks:
/// `10 log10(N) + RSRP - RSSI` (TS 36.214 §5.1.3).
pub fn rsrq_db(rsrp_dbm: f64, rssi_dbm: f64, blocks: u32) -> f64 {
    10.0 * f64::from(blocks).log10() + rsrp_dbm - rssi_dbm
}

/// RSSI in dBm from RSRP in dBm and RSRQ in dB over `blocks` resource blocks.
pub fn rssi_dbm(rsrp_dbm: f64, rsrq_db: f64, blocks: u32) -> f64 {
    10.0 * f64::from(blocks).log10() + rsrp_dbm - rsrq_db
}

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
    }
}
