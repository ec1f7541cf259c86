//! The reads that a modem is asked for, in groups that belong together.
//!
//! A rule names the groups that settle it. None of them changes anything that lasts.

use crate::response::VendorCommandSet;

/// A group of reads that belong together.
#[derive(Debug)]
pub struct Read {
    /// The commands, in order.
    pub commands: &'static [&'static str],
    /// What they tell.
    pub why: &'static str,
    /// How long the responses may take, in seconds.
    pub seconds: u16,
}

impl PartialEq for Read {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

impl Eq for Read {}

impl Read {
    const fn quick(commands: &'static [&'static str], why: &'static str) -> Self {
        Self { commands, why, seconds: 1 }
    }
}

/// A read that each vendor has a command of its own for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VendorRead {
    /// The serving cell.
    Cell,
    /// The bands that are switched on.
    Bands,
    /// The technologies that are allowed.
    Technology,
    /// The level of each receive branch.
    Branches,
    /// The firmware images and settings images that are stored.
    Images,
    /// The card slot in use.
    Slot,
    /// How the module detects a card.
    Detection,
    /// The name servers.
    NameServers,
}

impl VendorRead {
    /// The command of a vendor command set, where it has one.
    pub const fn command(self, set: &VendorCommandSet) -> Option<&'static str> {
        match self {
            Self::Cell => Some(set.cell),
            Self::Bands => set.bands,
            Self::Technology => set.technology,
            Self::Branches => set.branches,
            Self::Images => set.images,
            Self::Slot => set.slot,
            Self::Detection => set.detection,
            Self::NameServers => set.name_servers,
        }
    }
}

/// Whether anything answers.
pub(crate) static ALIVE: Read =
    Read::quick(&["AT", "ATI"], "whether anything answers on the port, and what it is");

/// The reject cause on LTE.
pub(crate) static REASON: Read = Read {
    commands: &["AT+CEREG=3", "AT+CEREG?"],
    why: "the network's reject cause, as a number; the first command adds causes to the report until the next restart",
    seconds: 2,
};

/// The reject cause on 5G.
pub(crate) static REASON_5G: Read = Read {
    commands: &["AT+C5GREG=3", "AT+C5GREG?"],
    why: "the 5G network's reject cause, as a number; the first command adds causes to the report until the next restart",
    seconds: 2,
};

/// The cause of the last failure.
pub(crate) static LAST_FAILURE: Read = Read::quick(
    &["AT+CEER"],
    "the cause of the last failure, if it is read directly after that failure",
);

/// Registration for data on LTE.
pub(crate) static EPS_STATE: Read =
    Read::quick(&["AT+CEREG?"], "whether the modem is registered for data on LTE");

/// Registration for data on 2G and 3G.
pub(crate) static PACKET_STATE: Read =
    Read::quick(&["AT+CGREG?"], "whether the modem is registered for data on 2G or 3G");

/// Registration for voice and messages.
pub(crate) static CIRCUIT_STATE: Read =
    Read::quick(&["AT+CREG?"], "whether the modem is registered for voice and messages");

/// Registration with a 5G core network.
pub(crate) static STATE_5G: Read =
    Read::quick(&["AT+C5GREG?"], "whether the modem is registered with a 5G core network");

/// The state of the card.
pub(crate) static CARD: Read =
    Read::quick(&["AT+CPIN?"], "whether the SIM is seen, and waits for nothing");

/// The state of the card after a step that may have mended it.
pub(crate) static CARD_AGAIN: Read =
    Read::quick(&["AT+CPIN?"], "whether the SIM is read after the first step");

/// The functionality level after the radio was switched on.
pub(crate) static RADIO_AGAIN: Read =
    Read::quick(&["AT+CFUN?"], "whether the radio stays on after the first step");

/// The card slot in use, by the vendor's own command.
pub(crate) static SLOT: Read = Read::quick(&[], "which card slot is in use");

/// How the module detects a card, by the vendor's own command.
pub(crate) static DETECTION: Read = Read::quick(
    &[],
    "whether the module looks at the switch of the card holder, and at which level",
);

/// The name servers, by the vendor's own command.
pub(crate) static NAME_SERVERS: Read = Read::quick(&[], "which name servers the modem uses");

/// The bands that are switched on, by the vendor's own command.
pub(crate) static BANDS: Read = Read::quick(&[], "which bands are switched on");

/// The firmware and settings images, by the vendor's own command.
pub(crate) static IMAGES: Read = Read::quick(
    &[],
    "which firmware and settings images are stored, and whether they belong together",
);

/// Power saving.
pub(crate) static POWER_SAVING: Read =
    Read::quick(&["AT+CPSMS?"], "whether power saving is on: a modem that sleeps has no level");

/// The received level, in any system.
pub(crate) static LEVEL: Read = Read::quick(&["AT+CSQ"], "whether a cell is heard, and how well");

/// Level and quality on LTE.
pub(crate) static FULL_LEVEL: Read =
    Read::quick(&["AT+CESQ"], "level and quality of the serving cell");

/// The network in use, and how it is chosen.
pub(crate) static CHOICE: Read =
    Read::quick(&["AT+COPS?"], "which network is in use, and whether it is chosen by hand");

/// Stored contexts.
pub(crate) static CONTEXTS: Read =
    Read::quick(&["AT+CGDCONT?"], "which access point names and address types are stored");

/// The ranges of a context's parameters.
pub(crate) static CONTEXT_RANGE: Read =
    Read::quick(&["AT+CGDCONT=?"], "which contexts and address types the modem can store");

/// Sessions and addresses.
pub(crate) static SESSIONS: Read = Read::quick(
    &["AT+CGACT?", "AT+CGPADDR"],
    "whether a data session is open, on which context, and its address",
);

/// How each context authenticates.
pub(crate) static AUTHENTICATION: Read = Read::quick(
    &["AT+CGAUTH?"],
    "which authentication is set for the access point; remove the password before you send it",
);

/// The packet attach.
pub(crate) static ATTACHED: Read =
    Read::quick(&["AT+CGATT?"], "whether the modem is attached for packet data");

/// The functionality level.
pub(crate) static RADIO: Read = Read::quick(&["AT+CFUN?"], "whether the radio is switched on");

/// The supply voltage.
pub(crate) static SUPPLY_VOLTAGE: Read =
    Read::quick(&["AT+CBC"], "the supply voltage at the modem");

/// PIN attempts that are left.
pub(crate) static PIN_ATTEMPTS: Read =
    Read::quick(&["AT+CPINR"], "how many PIN attempts are left, before one is used");

/// The card's home network.
pub(crate) static IDENTITY: Read =
    Read::quick(&["AT+CIMI"], "the card's home network, from the first digits of the IMSI");

/// The card's provider name and group (TS 31.102 §4.2.12, §4.2.10).
pub(crate) static CARD_GROUP: Read = Read::quick(
    &["AT+CRSM=176,28486,0,0,17", "AT+CRSM=176,28478,0,0,0"],
    "the card's provider name and group, which tell carriers on one network apart",
);

/// The equipment number.
pub(crate) static EQUIPMENT: Read = Read::quick(
    &["AT+CGSN"],
    "the equipment number (IMEI), by which the carrier looks the device up",
);

/// The card's forbidden networks.
pub(crate) static FORBIDDEN: Read = Read::quick(
    &["AT+CRSM=176,28539,0,0,12"],
    "the networks that the card forbids to itself after earlier refusals",
);

/// The card's number.
pub(crate) static CARD_NUMBER: Read = Read::quick(&["AT+CCID"], "the card's number");

/// The technologies that are allowed.
pub(crate) static TECHNOLOGY: Read =
    Read::quick(&["AT+WS46?"], "which radio technologies and bands the settings allow");

/// The model.
pub(crate) static MODEL: Read = Read::quick(&["AT+CGMM"], "the model, and with it its bands");

/// The usage setting.
pub(crate) static USAGE: Read =
    Read::quick(&["AT+CEMODE?"], "whether the modem is set to put voice first");

/// Errors as words.
pub(crate) static VERBOSE: Read = Read::quick(
    &["AT+CMEE=2"],
    "errors in words instead of a bare ERROR, until the next restart; then send the command that failed again",
);

/// The session's parameters from the network.
pub(crate) static SESSION_PARAMETERS: Read =
    Read::quick(&["AT+CGCONTRDP"], "the address, the gateway and the name servers of the session");

/// A network search.
pub(crate) static SEARCH: Read = Read {
    commands: &["AT+COPS=?"],
    why: "which networks are heard at all; takes minutes, and a working link drops meanwhile",
    seconds: 180,
};
