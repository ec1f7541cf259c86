//! The quantities that a reply can give as a bare number or word, and the names they carry outside.

/// What a number or word measures; the outside name carries the unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Quantity {
    /// Reference signal received power (TS 36.214 §5.1.1; SS-RSRP of TS 38.215 for NR), dBm.
    Rsrp,
    /// Reference signal received quality (TS 36.214 §5.1.3), dB.
    Rsrq,
    /// Signal to interference and noise ratio, dB.
    Sinr,
    /// Received signal strength over the whole channel, dBm.
    Rssi,
    /// UTRA received signal code power (TS 25.215 §5.1.1), dBm.
    Rscp,
    /// UTRA chip energy over total received power density, dB.
    EcNo,
    /// GSM received level, dBm.
    Rxlev,
    /// Bit error index as `+CSQ` and `+CESQ` give it (TS 45.008 §8.2.4).
    BerIndex,
    /// Operating band number of the technology in use.
    Band,
    /// E-UTRA downlink channel number (TS 36.101 §5.7.3).
    Earfcn,
    /// NR channel number (TS 38.101-1 §5.4.2).
    NrArfcn,
    /// UTRA downlink channel number (TS 25.101 §5.4.4).
    Uarfcn,
    /// GSM channel number (TS 45.005 §2).
    Arfcn,
    /// Physical cell identity.
    Pci,
    /// UTRA primary scrambling code.
    Psc,
    /// GSM base station identity code.
    Bsic,
    /// Tracking area code, or location area code on 2G and 3G, as hexadecimal digits.
    TacHex,
    /// Cell identity: 28 bits E-UTRA and UTRA, 36 bits NR, 16 bits GSM.
    CellId,
    /// Mobile country code.
    Mcc,
    /// Mobile network code with its zeros.
    Mnc,
    /// Access point name of a context.
    Apn,
    /// The `<stat>` of a registration reply (TS 27.007 §7.2, §10.1.20, §10.1.22, §10.1.47).
    RegistrationStat,
    /// The cause that the network gave for a refusal.
    RejectCause,
    /// The access technology number `<AcT>` (TS 27.007 §7.3).
    Act,
    /// Downlink channel width, MHz.
    BandwidthMhz,
    /// Uplink channel width, MHz.
    UplinkBandwidthMhz,
    /// Transmit power, dBm.
    TxPower,
    /// Channel quality indicator 0..=15 (TS 36.213 §7.2.3).
    Cqi,
    /// Timing advance in the unit of the technology.
    TimingAdvance,
    /// Cell selection receive level value Srxlev (TS 36.304 §5.2.3.2), dB.
    Srxlev,
    /// Module temperature, °C.
    Temperature,
    /// Supply voltage at the module, mV.
    SupplyMillivolt,
    /// Functionality level of `+CFUN`.
    Functionality,
    /// Path loss, dB.
    PathLoss,
    /// NR subcarrier spacing, kHz.
    SubcarrierKhz,
    /// Coverage enhancement level of NB-IoT or LTE-M.
    CoverageLevel,
}

impl Quantity {
    /// Every quantity, in the order of the reference page.
    pub const ALL: &'static [Self] = &[
        Self::Rsrp,
        Self::Rsrq,
        Self::Sinr,
        Self::Rssi,
        Self::Rscp,
        Self::EcNo,
        Self::Rxlev,
        Self::BerIndex,
        Self::Band,
        Self::Earfcn,
        Self::NrArfcn,
        Self::Uarfcn,
        Self::Arfcn,
        Self::Pci,
        Self::Psc,
        Self::Bsic,
        Self::TacHex,
        Self::CellId,
        Self::Mcc,
        Self::Mnc,
        Self::Apn,
        Self::RegistrationStat,
        Self::RejectCause,
        Self::Act,
        Self::BandwidthMhz,
        Self::UplinkBandwidthMhz,
        Self::TxPower,
        Self::Cqi,
        Self::TimingAdvance,
        Self::Srxlev,
        Self::Temperature,
        Self::SupplyMillivolt,
        Self::Functionality,
        Self::PathLoss,
        Self::SubcarrierKhz,
        Self::CoverageLevel,
    ];

    /// The outside name, as the machine-readable verdict prints it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Rsrp => "rsrp_dbm",
            Self::Rsrq => "rsrq_db",
            Self::Sinr => "sinr_db",
            Self::Rssi => "rssi_dbm",
            Self::Rscp => "rscp_dbm",
            Self::EcNo => "ecno_db",
            Self::Rxlev => "rxlev_dbm",
            Self::BerIndex => "ber_index",
            Self::Band => "band",
            Self::Earfcn => "earfcn",
            Self::NrArfcn => "nr_arfcn",
            Self::Uarfcn => "uarfcn",
            Self::Arfcn => "arfcn",
            Self::Pci => "pci",
            Self::Psc => "psc",
            Self::Bsic => "bsic",
            Self::TacHex => "tac_hex",
            Self::CellId => "cell_id",
            Self::Mcc => "mcc",
            Self::Mnc => "mnc",
            Self::Apn => "apn",
            Self::RegistrationStat => "registration_stat",
            Self::RejectCause => "reject_cause",
            Self::Act => "act",
            Self::BandwidthMhz => "bandwidth_mhz",
            Self::UplinkBandwidthMhz => "uplink_bandwidth_mhz",
            Self::TxPower => "tx_power_dbm",
            Self::Cqi => "cqi",
            Self::TimingAdvance => "timing_advance",
            Self::Srxlev => "srxlev_db",
            Self::Temperature => "temperature_c",
            Self::SupplyMillivolt => "supply_mv",
            Self::Functionality => "functionality",
            Self::PathLoss => "path_loss_db",
            Self::SubcarrierKhz => "subcarrier_khz",
            Self::CoverageLevel => "coverage_level",
        }
    }

    /// The values that can be; a reading outside is a misreading, not a measurement.
    ///
    /// Level ranges follow the reporting ranges of TS 36.133 §9.1, TS 25.133 §9.1 and
    /// TS 38.133 §10.1, widened to what receivers print beyond them.
    pub const fn range(self) -> (f64, f64) {
        match self {
            Self::Rsrp => (-160.0, -20.0),
            Self::Rsrq => (-45.0, 20.0),
            Self::Sinr => (-30.0, 60.0),
            Self::Rssi => (-130.0, 0.0),
            Self::Rscp => (-130.0, -20.0),
            Self::EcNo => (-40.0, 0.0),
            Self::Rxlev => (-120.0, -30.0),
            Self::BerIndex => (0.0, 7.0),
            Self::Band => (1.0, 2000.0),
            Self::Earfcn => (0.0, 262_143.0),
            Self::NrArfcn => (0.0, 3_279_165.0),
            Self::Uarfcn => (0.0, 16_383.0),
            Self::Arfcn => (0.0, 1023.0),
            Self::Pci => (0.0, 1007.0),
            Self::Psc => (0.0, 511.0),
            Self::Bsic => (0.0, 77.0),
            Self::CellId => (0.0, 68_719_476_735.0),
            Self::RegistrationStat | Self::RejectCause | Self::Functionality => (0.0, 255.0),
            Self::Act => (0.0, 30.0),
            Self::BandwidthMhz | Self::UplinkBandwidthMhz => (0.1, 400.0),
            Self::TxPower => (-60.0, 40.0),
            Self::Cqi => (0.0, 15.0),
            Self::TimingAdvance => (0.0, 20_512.0),
            Self::Srxlev => (-100.0, 120.0),
            Self::Temperature => (-60.0, 150.0),
            Self::SupplyMillivolt => (1000.0, 60_000.0),
            Self::PathLoss => (0.0, 200.0),
            Self::SubcarrierKhz => (3.0, 960.0),
            Self::CoverageLevel => (0.0, 3.0),
            Self::TacHex | Self::Mcc | Self::Mnc | Self::Apn => (0.0, 0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_names_never_repeat() {
        let mut names: Vec<_> = Quantity::ALL.iter().map(|q| q.name()).collect();
        names.sort_unstable();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
    }
}
