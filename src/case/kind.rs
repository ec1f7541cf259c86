//! The kinds that facts speak of: cells, technologies, domains, and the states of
//! card, service, host and power.

/// Which cell a measurement belongs to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Cell {
    /// The serving (primary) cell.
    #[default]
    Serving,
    /// A secondary serving cell of an aggregation, or the NR leg of dual connectivity.
    Secondary,
    /// A neighbour.
    Neighbour,
}

/// The radio technology families that settings and readings speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rat {
    /// GSM, GPRS, EDGE.
    Gsm,
    /// UTRA (WCDMA, TD-SCDMA and their packet additions).
    Utra,
    /// E-UTRA for wide-band devices.
    Lte,
    /// E-UTRA category M (LTE-M).
    LteM,
    /// Narrow-band IoT.
    NbIot,
    /// New radio.
    Nr,
}

impl Rat {
    /// The name in the trade.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Gsm => "GSM",
            Self::Utra => "UMTS",
            Self::Lte => "LTE",
            Self::LteM => "LTE-M",
            Self::NbIot => "NB-IoT",
            Self::Nr => "5G NR",
        }
    }

    /// The technology of an `<AcT>` number (TS 27.007 §7.3); `None` for numbers it does not define.
    pub const fn from_act(act: u8) -> Option<Self> {
        match act {
            0 | 1 | 3 | 8 => Some(Self::Gsm),
            2 | 4 | 5 | 6 => Some(Self::Utra),
            7 | 10 | 13 => Some(Self::Lte),
            9 | 14 => Some(Self::NbIot),
            11 | 12 => Some(Self::Nr),
            _ => None,
        }
    }
}

/// The domain that a registration state speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Domain {
    /// Circuit services, `+CREG` (TS 27.007 §7.2).
    Circuit,
    /// Packet services of GSM and UMTS, `+CGREG` (§10.1.20).
    Packet,
    /// The evolved packet system, `+CEREG` (§10.1.22).
    Eps,
    /// The 5G system, `+C5GREG` (§10.1.47).
    FiveG,
}

impl Domain {
    /// The command that asks for it.
    pub const fn command(self) -> &'static str {
        match self {
            Self::Circuit => "+CREG",
            Self::Packet => "+CGREG",
            Self::Eps => "+CEREG",
            Self::FiveG => "+C5GREG",
        }
    }

    /// The domain in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Circuit => "voice and text messages (circuit domain)",
            Self::Packet => "2G/3G packet data",
            Self::Eps => "4G packet data (EPS)",
            Self::FiveG => "5G packet data",
        }
    }
}

/// What the SIM, or its place, is said to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sim {
    /// Unlocked and usable.
    Ready,
    /// Present; nothing said of its state.
    Inserted,
    /// Waiting for its PIN.
    PinRequired,
    /// Blocked, waiting for its PUK.
    PukRequired,
    /// Waiting for PIN2 or PUK2, which attaching does not need.
    SecondCodeRequired,
    /// Personalisation lock of the device.
    Locked(Personalisation),
    /// Waiting for the device's own PIN to this card (`PH-SIM PIN`).
    DeviceCode,
    /// Not seen.
    NotInserted,
    /// Seen and not working.
    Failure,
    /// Seen and of a wrong kind.
    Wrong,
    /// Starting, or busy.
    Busy,
    /// No profile is enabled on it (eUICC).
    NoProfile,
}

/// The kinds of personalisation lock (TS 22.022).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Personalisation {
    /// Bound to one card.
    Sim,
    /// Bound to a network.
    Network,
    /// Bound to a part of a network.
    Subset,
    /// Bound to a service provider.
    Provider,
    /// Bound to a company.
    Corporate,
}

/// A service state that a serving-cell reply tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Service {
    /// Looking for a cell.
    Searching,
    /// Camped on a cell without normal service.
    Limited,
    /// Normal service.
    Normal,
    /// No service and no cell.
    None,
    /// The radio is held off (low power, flight mode).
    RadioOff,
}

/// What the machine beside the modem says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Host {
    /// No such port or device.
    NoModem,
    /// The port is held by another program.
    PortBusy,
    /// No permission on the port.
    PortDenied,
    /// Commands went out and nothing came back.
    Silent,
    /// A person, or a program about the modem itself, says that nothing answers.
    SaidSilent,
    /// Something else than AT speaks there.
    NotAt,
    /// The device left the bus.
    Gone,
    /// The device came to the bus, for the first time or again.
    Returned,
    /// A serial port appeared for the device.
    AtPort,
    /// The device shows its boot loader instead of the modem.
    BootLoader,
    /// The device is on the bus without a serial port for AT commands: no driver, or another composition.
    NoAtPort,
}

/// A mark of starting or stopping.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Power {
    /// The modem has just started.
    Started,
    /// A later line of a start (card read, phone book loaded …).
    Starting,
    /// Switched off in order.
    Down,
    /// Switched off for low voltage, or warns of it.
    LowVoltage,
    /// Warns of high voltage.
    HighVoltage,
    /// Warns of, or stops for, temperature.
    Temperature,
    /// The host asked for a restart.
    HostRestart,
    /// Sleeps to save power: silence is no fault.
    Asleep,
    /// Woke from such a sleep.
    Awake,
}

/// What holds the radio off, where the modem names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Holder {
    /// Temperature.
    Heat,
    /// Supply voltage.
    Supply,
    /// The host, by a functionality level.
    Host,
    /// The disable pin of the card slot.
    Pin,
    /// Firmware and settings image that do not fit each other.
    Image,
    /// Some other part of the firmware.
    Firmware,
}
