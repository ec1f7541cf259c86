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
}

impl VendorRead {
    /// The command of a vendor command set, where it has one.
    pub const fn command(self, set: &VendorCommandSet) -> Option<&'static str> {
        match self {
            Self::Cell => Some(set.cell),
            Self::Bands => set.bands,
            Self::Technology => set.technology,
            Self::Branches => set.branches,
        }
    }
}

/// Whether anything answers.
pub(crate) static ALIVE: Read =
    Read::quick(&["AT", "ATI"], "whether anything answers on the port, and what it is");

/// The network's reject cause.
pub(crate) static REASON: Read = Read {
    commands: &["AT+CEREG=3", "AT+CEREG?", "AT+CEER"],
    why: "the network's own reason for refusing, as a number (the first command only switches the fuller report on)",
    seconds: 2,
};

/// The cause of the last failed session.
pub(crate) static SESSION_REASON: Read =
    Read::quick(&["AT+CEER"], "the reason of the last failure, if it is read right after it");

/// Registration in each domain.
pub(crate) static STATES: Read = Read::quick(
    &["AT+CEREG?", "AT+CGREG?", "AT+CREG?"],
    "whether the modem is registered, in each of the three domains",
);

/// The state of the card.
pub(crate) static CARD: Read =
    Read::quick(&["AT+CPIN?"], "whether the SIM is seen, and waits for nothing");

/// The received level.
pub(crate) static LEVEL: Read =
    Read::quick(&["AT+CSQ", "AT+CESQ"], "whether a cell is heard, and how well");

/// The network in use, and how it is chosen.
pub(crate) static CHOICE: Read =
    Read::quick(&["AT+COPS?"], "which network is in use, and whether it is chosen by hand");

/// Contexts, sessions and addresses.
pub(crate) static CONTEXTS: Read = Read::quick(
    &["AT+CGDCONT?", "AT+CGACT?", "AT+CGPADDR"],
    "which access point names are stored, whether a session is open, and its address",
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
    Read::quick(&["AT+CPINR"], "how many PIN tries are left, before one is used");

/// The card's home network and its forbidden networks.
pub(crate) static IDENTITY: Read = Read::quick(
    &["AT+CIMI", "AT+CRSM=176,28539,0,0,12"],
    "the card's home network, and the networks that the card keeps away from",
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
pub(crate) static VERBOSE: Read =
    Read::quick(&["AT+CMEE=2"], "errors in words instead of a bare ERROR; then ask the same again");

/// The session's parameters from the network.
pub(crate) static SESSION_PARAMETERS: Read =
    Read::quick(&["AT+CGCONTRDP"], "the address, the gateway and the name servers of the session");

/// A network search.
pub(crate) static SEARCH: Read = Read {
    commands: &["AT+COPS=?"],
    why: "which networks are heard at all; takes minutes, and a working link drops meanwhile",
    seconds: 180,
};
