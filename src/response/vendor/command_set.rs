//! Which of its vendor's commands a modem has, known from those that it has answered.
//!
//! Commands stand together that are published in one manual; from memory, common practice, no source.

/// Reads that belong together.
#[derive(Debug, PartialEq, Eq)]
pub struct VendorCommandSet {
    /// Headers that show it.
    pub prefixes: &'static [&'static str],
    /// Reads the serving cell.
    pub cell: &'static str,
    /// Reads the bands that are switched on.
    pub bands: Option<&'static str>,
    /// Reads the technologies that are allowed.
    pub technology: Option<&'static str>,
    /// Reads the level of each antenna branch.
    pub branches: Option<&'static str>,
    /// Lists the firmware and settings images.
    pub images: Option<&'static str>,
    /// Reads the card slot in use.
    pub slot: Option<&'static str>,
    /// Reads how the module detects a card.
    pub detection: Option<&'static str>,
    /// Reads the name servers.
    pub name_servers: Option<&'static str>,
}

impl VendorCommandSet {
    /// A command set of which nothing is known.
    const BLANK: Self = Self {
        prefixes: &[],
        cell: "",
        bands: None,
        technology: None,
        branches: None,
        images: None,
        slot: None,
        detection: None,
        name_servers: None,
    };
}

/// Every command set, the most common first.
pub static COMMAND_SETS: &[VendorCommandSet] = &[
    VendorCommandSet {
        prefixes: &[
            "+QENG",
            "+QNWINFO",
            "+QCSQ",
            "+QCFG",
            "+QCAINFO",
            "+QRSRP",
            "+QRSRQ",
            "+QSINR",
            "+QNWPREFCFG",
            "+QNWLOCK",
            "+QSIMSTAT",
            "+QTEMP",
            "+QCCID",
            "+QIND",
            "+QSPN",
            "+QNWCFG",
            "+QNETRC",
            "+QEMMINFO",
            "+QSIMDET",
            "+QUIMSLOT",
            "+QINISTAT",
            "+QPINC",
            "+QUSIM",
            "+QMBNCFG",
            "+QPING",
            "+QHTTPGET",
            "+QIOPEN",
            "+QIACT",
            "+QIURC",
            "+QICSGP",
            "+QNETDEVCTL",
            "+QGPSLOC",
            "+QNTP",
            "+QMTOPEN",
        ],
        cell: "AT+QENG=\"servingcell\"",
        bands: Some("AT+QCFG=\"band\""),
        technology: Some("AT+QCFG=\"nwscanmode\""),
        branches: Some("AT+QRSRP"),
        slot: Some("AT+QUIMSLOT?"),
        detection: Some("AT+QSIMDET?"),
        name_servers: Some("AT+QIDNSCFG=1"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "+CPSI",
            "+CNMP",
            "+CMNB",
            "+CNBP",
            "+CBANDCFG",
            "+CNSMOD",
            "+CNACT",
            "+CNCFG",
            "+CPMUTEMP",
            "+CIPOPEN",
            "+CAOPEN",
            "+SHREQ",
            "+CDNSGIP",
            "+CGNSINF",
            "+CPSMSTATUS",
            "+CNEC_EMM",
            "+CNEC_ESM",
        ],
        cell: "AT+CPSI?",
        bands: Some("AT+CBANDCFG?"),
        technology: Some("AT+CNMP?"),
        name_servers: Some("AT+CDNSCFG?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "!GSTATUS", "!BAND", "!SELRAT", "!LTEINFO", "!NRINFO", "!PCINFO", "!PCTEMP", "!PCVOLT",
            "!UIMS", "!IMPREF", "!GETBAND", "!SCACT",
        ],
        cell: "AT!GSTATUS?",
        bands: Some("AT!BAND?"),
        technology: Some("AT!SELRAT?"),
        images: Some("AT!IMAGE?"),
        slot: Some("AT!UIMS?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "^HCSQ",
            "^SYSINFOEX",
            "^SYSCFGEX",
            "^MONSC",
            "^SRVST",
            "^SIMST",
            "^NDISSTAT",
            "^NDISSTATQRY",
            "^CHIPTEMP",
            "^REJINFO",
            "^CARDMODE",
            "^SYSINFO",
        ],
        cell: "AT^HCSQ?",
        bands: Some("AT^SYSCFGEX?"),
        technology: Some("AT^SYSCFGEX?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "#RFSTS",
            "#SERVINFO",
            "#BND",
            "#MONI",
            "#PSNT",
            "#QSS",
            "#SIMDET",
            "#FWSWITCH",
            "#CEERNET",
            "#SGACT",
            "#TEMPMEAS",
            "#HTTPRING",
        ],
        cell: "AT#RFSTS",
        bands: Some("AT#BND?"),
        technology: Some("AT+WS46?"),
        detection: Some("AT#SIMDET?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "%XMONITOR",
            "%XBANDLOCK",
            "%XSIM",
            "%XSYSTEMMODE",
            "%CESQ",
            "%XTEMP",
            "%XVBAT",
            "%XCBAND",
            "%MDMEV",
            "%XMODEMSLEEP",
        ],
        cell: "AT%XMONITOR",
        bands: Some("AT%XBANDLOCK?"),
        technology: Some("AT%XSYSTEMMODE?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &["^SMONI", "^SMONP", "^SXRAT", "^SCFG", "^SCKS", "^SBC"],
        cell: "AT^SMONI",
        technology: Some("AT^SXRAT?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &[
            "+UCGED",
            "+URAT",
            "+UBANDMASK",
            "+UUPSDA",
            "+UUPSDD",
            "+UPSND",
            "+UMNOPROF",
            "+UUSOCO",
            "+UUPING",
            "+UUHTTPCR",
            "+UGPIOC",
        ],
        // `+UCGED?` reads only in a report mode that was chosen before.
        cell: "AT+CESQ",
        bands: Some("AT+UBANDMASK?"),
        technology: Some("AT+URAT?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &["+GTCCINFO", "+GTACT", "+GTCAINFO", "+GTDUALSIM", "+GTSENRDTEMP", "+GTRNDIS"],
        cell: "AT+GTCCINFO?",
        bands: Some("AT+GTACT?"),
        technology: Some("AT+GTACT?"),
        slot: Some("AT+GTDUALSIM?"),
        ..VendorCommandSet::BLANK
    },
    VendorCommandSet {
        prefixes: &["+NUESTATS", "+NBAND", "+NCONFIG", "+NPING", "+NPSMR"],
        cell: "AT+NUESTATS",
        bands: Some("AT+NBAND?"),
        ..VendorCommandSet::BLANK
    },
];

/// The command set of a modem that has answered with these prefixes.
pub fn command_set<'h>(
    prefixes: impl IntoIterator<Item = &'h str>,
) -> Option<&'static VendorCommandSet> {
    prefixes.into_iter().find_map(|prefix| {
        COMMAND_SETS.iter().find(|d| d.prefixes.iter().any(|h| h.eq_ignore_ascii_case(prefix)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_prefix_shows_two_command_sets() {
        let mut all: Vec<_> = COMMAND_SETS.iter().flat_map(|d| d.prefixes).collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }

    #[test]
    fn every_read_changes_nothing() {
        for d in COMMAND_SETS {
            let further = [d.bands, d.technology, d.branches, d.images, d.slot, d.detection];
            for read in [Some(d.cell)].into_iter().chain(further).flatten() {
                assert!(crate::at::is_read(read), "{read}");
            }
        }
    }
}
