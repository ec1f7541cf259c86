//! What a reply says once it is understood: typed facts, the same for every dialect.
//!
//! A fact has no opinion. Whether a state is a fault is asked later, by the rules.

use super::kind::{CauseKind, Cell, Domain, Holder, Host, Power, Rat, Service, Sim};
use super::quantity::Quantity;
use crate::span::Span;
use compact_str::CompactString;

/// A registration state as read, `<stat>` kept as its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Registration {
    /// The domain.
    pub domain: Domain,
    /// The `<stat>` number; those beyond TS 27.007 stay numbers.
    pub stat: u8,
    /// The access technology number, where given.
    pub act: Option<u8>,
    /// Whether it came by itself.
    pub unsolicited: bool,
}

/// A place on the earth (WGS 84) as a module's receiver tells it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees, north positive.
    pub latitude: f64,
    /// Degrees, east positive.
    pub longitude: f64,
    /// Metres above the sea, where told.
    pub altitude_m: Option<f64>,
    /// Horizontal dilution of precision, where told.
    pub hdop: Option<f64>,
}

/// A cause that the network gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reject {
    /// The list that the number belongs to.
    pub kind: CauseKind,
    /// The number.
    pub cause: u8,
    /// Whether the reply tells the last failure (history), not the present state.
    pub history: bool,
}

/// A context as it is stored (`+CGDCONT?`) or set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContextDefinition {
    /// Context number.
    pub cid: u8,
    /// Address type as printed (`IP`, `IPV6`, `IPV4V6`, `Non-IP`, `PPP`).
    pub kind: CompactString,
    /// The access point name with every blank it carries; empty means none.
    pub apn: CompactString,
    /// Whether it was set in this dialogue (`true`) or read back.
    pub set: bool,
}

/// A context's authentication (`+CGAUTH` and the like).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContextAuthentication {
    /// Context number.
    pub cid: u8,
    /// 0 none, 1 PAP, 2 CHAP (TS 27.007 §10.1.31).
    pub protocol: u8,
    /// Whether a user name stands there; the name itself is not kept.
    pub user: bool,
}

/// A row of the operator list (`+COPS=?`).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScannedNetwork {
    /// 0 unknown, 1 available, 2 current, 3 forbidden.
    pub stat: u8,
    /// Network code, digits only, where the list gives it.
    pub plmn: String,
    /// The name, long form first.
    pub name: String,
    /// Access technology number, where given.
    pub act: Option<u8>,
}

/// The state of operator choice (`+COPS?`).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Operator {
    /// 0 automatic, 1 manual, 2 deregistered, 3 format only, 4 manual then automatic.
    pub mode: u8,
    /// Name or code in use; `None` while there is none.
    pub name: Option<String>,
    /// Access technology number, where given.
    pub act: Option<u8>,
}

/// The network of the card's last location update, and what came of it (TS 31.102 §4.2.17, §4.2.91).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardLocation {
    /// The network, digits; `None` for none.
    pub plmn: Option<String>,
    /// The update state in the words of the standard.
    pub state: &'static str,
}

/// How a command ended, where the end itself tells something.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Failure {
    /// The command, as sent, without `AT`; empty where it is not known.
    pub command: String,
    /// The `+CME ERROR` number; `None` for a bare `ERROR`.
    pub cme: Option<u16>,
    /// The `+CMS ERROR` number.
    pub cms: Option<u16>,
}

/// A reading whose scale or place is not settled, so that no number is claimed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// What was read.
    pub quantity: Quantity,
    /// Where it was measured.
    pub cell: Cell,
    /// The smallest and the largest value that the text can mean, where that much is known.
    pub between: Option<(f64, f64)>,
    /// Why it is not settled, in plain words.
    pub why: &'static str,
}

/// One thing that a reply says.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Fact {
    /// A number with its quantity.
    Number(Quantity, f64, Cell),
    /// A word with its quantity (network codes, area codes, access point names).
    Word(Quantity, CompactString, Cell),
    /// The quantity was asked for and the modem has no value (99, 255, -32768 …).
    Unknown(Quantity, Cell),
    /// The technology in use on the serving cell.
    Technology(Rat),
    /// A registration state.
    Registration(Registration),
    /// A refusal by the network.
    Reject(Reject),
    /// The SIM or its place.
    Sim(Sim),
    /// PIN tries left.
    PinTries(u8),
    /// PUK tries left.
    PukTries(u8),
    /// Functionality level of `+CFUN?`, or set successfully.
    Functionality(u8),
    /// A service state from a serving-cell reply.
    Service(Service),
    /// The packet attach state of `+CGATT?`.
    Attached(bool),
    /// A stored context.
    Context(ContextDefinition),
    /// A context number and whether it is active.
    Active(u8, bool),
    /// A context number and its address as text; empty for none.
    Address(u8, String),
    /// Authentication of a context.
    Authentication(ContextAuthentication),
    /// The context that the attach uses, where a reply says so.
    AttachContext(u8),
    /// Operator choice.
    Operator(Operator),
    /// A network list; empty when the search found nothing.
    Scan(Vec<ScannedNetwork>),
    /// The card's list of forbidden networks.
    Forbidden(Vec<String>),
    /// The usage setting and mode of `+CEMODE` (0..=3).
    UsageMode(u8),
    /// Power saving mode on or off.
    PowerSaving(bool),
    /// Technologies that the settings allow.
    AllowedTechnologies(Vec<Rat>),
    /// Bands that the modem has.
    SupportedBands(Rat, Vec<u16>),
    /// Bands that are switched on.
    EnabledBands(Rat, Vec<u16>),
    /// Level of one antenna port: port number from 0, quantity, value.
    Port(u8, Quantity, f64),
    /// An antenna port without a value.
    PortUnknown(u8, Quantity),
    /// IMSI, digits.
    Imsi(String),
    /// ICCID, digits without filler.
    Iccid(String),
    /// IMEI, digits.
    Imei(String),
    /// Maker's name as the modem prints it.
    Manufacturer(String),
    /// Model as the modem prints it.
    Model(String),
    /// Firmware revision as the modem prints it.
    Firmware(String),
    /// Length of the network code that the card's AD file gives.
    MncLength(u8),
    /// Service provider name of the card.
    ProviderName(String),
    /// Group identifier 1 of the card, hexadecimal.
    Gid1(String),
    /// A command that ended badly.
    Failed(Failure),
    /// A dial command that ended with `NO CARRIER`.
    NoCarrier,
    /// A data call was connected.
    Connected,
    /// A command that opens a data session ended well (`true`) or badly.
    Opening(bool),
    /// The network detached or deactivated (`+CGEV`): `true` for the whole device, else one context.
    Released(bool),
    /// The service indicator of `+CIND?` or `+CIEV` (0 or 1).
    ServiceIndicator(bool),
    /// The names of the indicators in their order, small letters (`+CIND=?`).
    IndicatorNames(Vec<String>),
    /// The values of all indicators in their order (`+CIND?`).
    IndicatorValues(Vec<u8>),
    /// One indicator by its place, counted from 1, and its value (`+CIEV`).
    IndicatorValue(u8, u8),
    /// A facility of `+CLCK` (`SC` the card's PIN, `PN` the network …), and whether it is on.
    Facility(String, bool),
    /// A network on the card's list of preferred ones, digits.
    Preferred(String),
    /// What the card remembers of its last location.
    CardLocation(CardLocation),
    /// The access control classes of the card (TS 22.011 §4.2).
    AccessClasses(Vec<u8>),
    /// A mark of starting or stopping.
    Power(Power),
    /// A word of the host.
    Host(Host),
    /// Something passed over the link (`true`), or did not (`false`).
    Traffic(bool),
    /// Radio connection state of `+CSCON` and the like.
    RadioConnected(bool),
    /// A reading that is not settled.
    Uncertain(Uncertainty),
    /// The card slot in use, counted from 1.
    SimSlot(u8),
    /// The radio is held off, and by what.
    RadioHeld(Holder),
    /// Whether the modem is bound to single cells.
    CellLock(bool),
    /// A person says that the PIN is asked again although it was accepted.
    PinAskedAgain,
    /// An access point name that a program or a person means to use.
    IntendedName(String),
    /// A person says that the modem starts over by itself.
    SaidRestarts,
    /// The bands that the network uses, as a person tells them.
    ToldBands(Vec<u16>),
    /// The state of registration in a device's own words, which name no domain; as `<stat>`.
    ToldState(u8),
    /// Where the module's own receiver says it is.
    Place(Place),
    /// The operator profile or image that is active, as the modem prints it.
    OperatorProfile(String),
    /// The list of contexts was asked for, and is empty.
    NoContexts,
    /// The network told its time, which it does once a device is attached.
    NetworkTime,
}

/// Where facts go while replies are read.
#[derive(Debug)]
pub struct Facts {
    found: Vec<(Fact, Span)>,
}

impl Default for Facts {
    fn default() -> Self {
        // An exchange seldom tells more.
        Self { found: Vec::with_capacity(16) }
    }
}

impl Facts {
    /// Notes a fact and where it stands.
    pub fn push(&mut self, fact: Fact, span: Span) {
        self.found.push((fact, span));
    }

    /// Notes a number, or leaves it out where it is outside the range of its quantity.
    ///
    /// Returns whether it was noted.
    #[inline]
    pub fn number(&mut self, quantity: Quantity, value: f64, cell: Cell, span: Span) -> bool {
        let (low, high) = quantity.range();
        let fits = value >= low && value <= high;
        if fits {
            self.push(Fact::Number(quantity, value, cell), span);
        }
        fits
    }

    /// The facts so far, in the order in which they were read.
    pub fn found(&self) -> &[(Fact, Span)] {
        &self.found
    }

    /// Hands the facts out one after the other and leaves none behind.
    pub fn drain(&mut self) -> impl Iterator<Item = (Fact, Span)> + '_ {
        self.found.drain(..)
    }
}
