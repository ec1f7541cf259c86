//! The subjects and states that status words give, and the places in which they count.

use crate::reference::causes::CauseList;
use serde::Deserialize;

/// What a phrase speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Subject {
    /// Being attached or registered.
    Registration,
    /// A packet session (PDP context, EPS bearer, PDU session).
    Session,
    /// The data link between host and modem (dialling, PPP).
    Link,
    /// The card.
    Card,
    /// A personalisation lock of the device.
    Lock,
    /// The radio of the modem.
    Radio,
    /// The signalling connection (RRC, ECM).
    Signalling,
    /// The modem as a device of the host.
    Device,
    /// The port to the modem.
    Port,
    /// A cause number.
    Cause,
    /// No subject: a known phrase without a state.
    Any,
}

/// What a phrase says of its subject.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// The state of a registration.
    Registration(RegistrationState),
    /// The state of a packet session.
    Session(SessionState),
    /// The state of the data link between host and modem.
    Link(LinkState),
    /// The state of the card.
    Card(CardState),
    /// A personalisation lock.
    Lock(LockState),
    /// The state of the radio.
    Radio(RadioState),
    /// The state of the signalling connection; it does not show whether the modem is attached.
    Signalling(SignallingState),
    /// The state of the modem as a device.
    Device(DeviceState),
    /// The state of the port.
    Port(PortState),
    /// A cause by its list and number.
    Cause(CauseList, u8),
    /// A known phrase that does not help to explain a failed attach.
    SaysNothing,
    /// The source says that it does not know the state.
    Unknown,
}

/// The state of a registration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RegistrationState {
    /// Attached to the packet service.
    Attached,
    /// Attach or registration under way.
    Attaching,
    /// Refused.
    Denied,
    /// Not attached.
    Detached,
    /// Looking for a network.
    Searching,
    /// Not registered and not looking for a network.
    NotSearching,
    /// On a cell without normal service.
    LimitedService,
    /// No usable cell.
    NoService,
    /// Emergency calls or bearers only.
    EmergencyOnly,
    /// Registered; home or roaming is not said.
    Registered,
    /// Registered in the home network.
    RegisteredHome,
    /// Registered while roaming.
    RegisteredRoaming,
    /// The cell or network bars access for now.
    AccessBarred,
    /// Told to wait before the next attempt.
    BackOff,
}

/// The state of a packet session.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SessionState {
    /// Active.
    Active,
    /// Being activated.
    Activating,
    /// Not active.
    Inactive,
    /// Without an address.
    NoAddress,
    /// Access point, address type or profile do not fit.
    SettingsWrong,
    /// Data are switched off at the host or in the profile.
    DataSwitchedOff,
    /// Data while roaming are switched off.
    RoamingSwitchedOff,
}

/// The state of the data link between host and modem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LinkState {
    /// Up, or with an address.
    Up,
    /// Not established, or lost.
    Failed,
    /// Refused for user name, password or method.
    AuthenticationFailed,
    /// The peer rejects the protocol of the addresses that are asked for.
    ProtocolRejected,
}

/// The state of the card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CardState {
    /// Not detected.
    Absent,
    /// Detected; whether it works is not said.
    Present,
    /// Ready.
    Ready,
    /// Starting or busy.
    Busy,
    /// Detected and not working.
    Failure,
    /// Waiting for PIN 1.
    PinRequired,
    /// Waiting for PUK 1.
    PukRequired,
    /// Waiting for PIN 2, which attaching does not need.
    #[serde(rename = "pin2-required")]
    Pin2Required,
    /// Waiting for PUK 2, which attaching does not need.
    #[serde(rename = "puk2-required")]
    Puk2Required,
    /// A wrong code was given.
    PinWrong,
    /// Blocked for good.
    Blocked,
    /// No profile is enabled (eUICC).
    NoProfile,
}

/// A personalisation lock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LockState {
    /// The device accepts cards of one network, provider or company only.
    Network,
    /// The device accepts one card only, or asks for its code.
    CardToDevice,
}

/// The state of the radio.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RadioState {
    /// On.
    On,
    /// Off; by what is not said.
    Off,
    /// Switched off by a setting or command.
    OffBySoftware,
    /// Switched off by a pin or switch.
    OffByHardware,
    /// On with fewer technologies than the modem has.
    TechnologiesLimited,
}

/// The state of the signalling connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignallingState {
    /// Down.
    Idle,
    /// Up.
    Connected,
}

/// The state of the modem as a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DeviceState {
    /// The host does not find it, or only its boot loader.
    NotFound,
    /// It left the bus.
    Left,
    /// It is on the bus (again).
    Returned,
    /// It restarts.
    Restarting,
    /// It reports an internal fault.
    Fault,
    /// No driver serves the interface.
    NoDriver,
    /// Too hot.
    Hot,
    /// Too little supply power.
    SupplyLow,
}

/// The state of the port.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PortState {
    /// The modem answers.
    Answers,
    /// The modem does not answer.
    NoAnswer,
    /// Another program holds it.
    Busy,
    /// The user may not open it.
    NoPermission,
}

/// The only place in which a phrase counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Where {
    /// Everywhere.
    Anywhere,
    /// Alone on a line.
    OwnLine,
    /// Behind this key (`+CPIN`, `cause`).
    Behind(&'static str),
    /// On a line or in a clause that has this word.
    Beside(&'static str),
    /// Beside a device path or port name.
    BesidePort,
    /// Behind a key or an arrow, or before "is on", "is enabled".
    BehindMark,
    /// Before a value (an address, a number).
    BeforeValue,
    /// On a kernel line of a driver.
    KernelLine,
}

/// The state of a subject by its word in the table.
pub(super) fn state(subject: Subject, word: &str) -> Option<State> {
    fn of<'w, T: Deserialize<'w>>(word: &'w str) -> Option<T> {
        use serde::de::value::{BorrowedStrDeserializer, Error};
        T::deserialize(BorrowedStrDeserializer::<Error>::new(word)).ok()
    }
    Some(match subject {
        Subject::Registration => State::Registration(of(word)?),
        Subject::Session => State::Session(of(word)?),
        Subject::Link => State::Link(of(word)?),
        Subject::Card => State::Card(of(word)?),
        Subject::Lock => State::Lock(of(word)?),
        Subject::Radio => State::Radio(of(word)?),
        Subject::Signalling => State::Signalling(of(word)?),
        Subject::Device => State::Device(of(word)?),
        Subject::Port => State::Port(of(word)?),
        Subject::Cause => {
            let (list, number) = word.split_once(' ')?;
            State::Cause(CauseList::named(list)?, number.parse().ok()?)
        }
        Subject::Any if word == "says-nothing" => State::SaysNothing,
        Subject::Any if word == "unknown" => State::Unknown,
        Subject::Any => return None,
    })
}

/// The place by its words in the table.
pub(super) fn place(text: &'static str) -> Option<Where> {
    Some(match text {
        "" => Where::Anywhere,
        "own line" => Where::OwnLine,
        "beside a port" => Where::BesidePort,
        "behind a mark" => Where::BehindMark,
        "before a value" => Where::BeforeValue,
        "kernel line" => Where::KernelLine,
        _ => {
            if let Some(name) = text.strip_prefix("behind ") {
                Where::Behind(name)
            } else {
                Where::Beside(text.strip_prefix("beside ")?)
            }
        }
    })
}
