//! Every fact that can be read, declared once: its variant, its meaning, the layer and the history that keeps it.
//!
//! A fact has no opinion. Whether a state is a fault is asked later, by the rules. To add one, add a line here.

use super::fact::{
    CardLocation, ContextAuthentication, ContextDefinition, Failure, Operator, Place, Reading,
    Registration, Reject, ScannedNetwork, Uncertainty,
};
use super::history::{History, Keep, Observation};
use super::keyed::{ByContext, ByDomain};
use super::kind::{Holder, Host, Power, Rat, Service, Sim};
use super::quantity::Quantity;
use crate::reference::status_words::{LinkState, SessionState};

/// Declares the facts of each layer: the variants of [`Fact`], the struct of the layer, and the way from one to the other.
macro_rules! facts {
    ($(
        $(#[$about:meta])*
        $layer:ident: $Layer:ident {
            $( $(#[$doc:meta])* $Variant:ident $(( $($name:ident: $Type:ty),+ ))? => $field:ident: $History:ty, )*
        }
    )*) => {
        /// One thing that a text says.
        #[derive(Clone, Debug, PartialEq)]
        #[non_exhaustive]
        pub enum Fact {
            $($( $(#[$doc])* $Variant $(( $($Type),+ ))?, )*)*
        }

        $(
            $(#[$about])*
            #[derive(Clone, Debug, Default)]
            pub struct $Layer {
                $( $(#[$doc])* pub $field: $History, )*
            }
        )*

        /// The facts of every layer.
        #[derive(Clone, Debug, Default)]
        pub struct Layers {
            $( $(#[$about])* pub $layer: $Layer, )*
        }

        impl Layers {
            /// Keeps a fact in its history.
            pub(super) fn keep(&mut self, observed: Observation<Fact>) {
                let Observation { value, span, at, order, by } = observed;
                match value {
                    $($(
                        Fact::$Variant $(( $($name),+ ))? => self.$layer.$field.keep(
                            Observation { value: ( $($($name),+)? ), span, at, order, by }
                        ),
                    )*)*
                }
            }
        }
    };
}

facts! {
    /// How commands ended.
    exchanges: Exchanges {
        /// A command that ended in an error.
        Failed(failure: Failure) => failures: History<Failure>,
    }

    /// The machine beside the modem, and the port.
    host: HostFacts {
        /// What the host says.
        Host(host: Host) => reports: History<Host>,
    }

    /// The modem as a device.
    device: Device {
        /// Functionality level of `+CFUN?`, or set successfully.
        Functionality(level: u8) => functionality: History<u8>,
        /// A mark of starting or stopping.
        Power(power: Power) => power: History<Power>,
        /// The radio is held off, and by what.
        RadioHeld(holder: Holder) => radio_held: History<Holder>,
        /// A person says that the modem starts over by itself.
        SaidRestarts => said_restarts: History<()>,
        /// The modem failed inside or started over, as it or its host reports.
        Fault => faults: History<()>,
        /// Power saving mode on or off.
        PowerSaving(on: bool) => power_saving: History<bool>,
        /// IMEI, digits.
        Imei(digits: String) => imei: History<String>,
        /// The vendor's name as the modem prints it.
        Manufacturer(name: String) => manufacturer: History<String>,
        /// Model as the modem prints it.
        Model(model: String) => model: History<String>,
        /// Firmware revision as the modem prints it.
        Firmware(revision: String) => firmware: History<String>,
        /// The operator profile or image that is active, as the modem prints it.
        OperatorProfile(name: String) => operator_profile: History<String>,
        /// The firmware image and its settings do not fit each other.
        ImageMismatch => image_mismatch: History<()>,
        /// The modem holds off the attach, because it was restarted too often without notice.
        ResetLoop => reset_loop: History<()>,
        /// The position from the module's own receiver.
        Place(place: Place) => place: History<Place>,
    }

    /// The card and its holder.
    card: Card {
        /// The SIM or its place.
        Sim(sim: Sim) => state: History<Sim>,
        /// PIN attempts left.
        PinTries(tries: u8) => pin_tries: History<u8>,
        /// PUK attempts left.
        PukTries(tries: u8) => puk_tries: History<u8>,
        /// A person says that the PIN is asked again although it was accepted.
        PinAskedAgain => pin_asked_again: History<()>,
        /// A person says that the carrier has suspended or ended the contract of the card.
        SaidSuspended => said_suspended: History<()>,
        /// Whether the holder's switch is read, and whether a card that is in gives the high level.
        CardDetection(on: bool, high: Option<bool>) => detection: History<(bool, Option<bool>)>,
        /// The card slot in use, counted from 1.
        SimSlot(slot: u8) => slot: History<u8>,
        /// A facility of `+CLCK` (`SC` the card's PIN, `PN` the network …), and whether it is on.
        Facility(code: String, on: bool) => facilities: History<(String, bool)>,
        /// IMSI, digits.
        Imsi(digits: String) => imsi: History<String>,
        /// ICCID, digits without filler.
        Iccid(digits: String) => iccid: History<String>,
        /// Length of the network code that the card's AD file gives.
        MncLength(length: u8) => mnc_length: History<u8>,
        /// Service provider name of the card.
        ProviderName(name: String) => provider_name: History<String>,
        /// Group identifier 1 of the card, hexadecimal.
        Gid1(group: String) => gid1: History<String>,
        /// The card's list of forbidden networks.
        Forbidden(list: Vec<String>) => forbidden: History<Vec<String>>,
        /// A network on the card's list of preferred ones, digits.
        Preferred(network: String) => preferred: History<String>,
        /// What the card remembers of its last location.
        CardLocation(location: CardLocation) => location: History<CardLocation>,
        /// The access control classes of the card (TS 22.011 §4.2).
        AccessClasses(classes: Vec<u8>) => access_classes: History<Vec<u8>>,
    }

    /// What the radio measures, and which bands and technologies it may use.
    radio: Radio {
        /// A number or a word with its quantity, or that the modem has no value (99, 255, -32768 …).
        Reading(reading: Reading) => readings: History<Reading>,
        /// Level of one antenna port: port number from 0, quantity, value where there is one.
        Port(port: u8, quantity: Quantity, value: Option<f64>) => antenna_ports: History<(u8, Quantity, Option<f64>)>,
        /// A reading that is not settled.
        Uncertain(uncertainty: Uncertainty) => uncertain: History<Uncertainty>,
        /// The technology in use on the serving cell.
        Technology(rat: Rat) => technology: History<Rat>,
        /// Technologies that the settings allow.
        AllowedTechnologies(list: Vec<Rat>) => allowed: History<Vec<Rat>>,
        /// Bands that the modem has.
        SupportedBands(rat: Rat, bands: Vec<u16>) => supported_bands: History<(Rat, Vec<u16>)>,
        /// Bands that are switched on.
        EnabledBands(rat: Rat, bands: Vec<u16>) => enabled_bands: History<(Rat, Vec<u16>)>,
        /// Whether the modem is bound to single cells.
        CellLock(locked: bool) => cell_lock: History<bool>,
        /// The bands that the network uses, as a person says.
        NetworkBands(bands: Vec<u16>) => network_bands: History<Vec<u16>>,
        /// LTE bands of the cells that are heard at this place, by a survey or another receiver.
        HeardBands(bands: Vec<u16>) => heard_bands: History<Vec<u16>>,
        /// Technologies of the cells that are heard at this place.
        HeardTechnologies(list: Vec<Rat>) => heard_technologies: History<Vec<Rat>>,
        /// Radio connection state of `+CSCON` and the like.
        RadioConnected(on: bool) => connection: History<bool>,
    }

    /// Registration with the network.
    registration: RegistrationFacts {
        /// A registration state.
        Registration(state: Registration) => states: ByDomain<Registration>,
        /// The state of registration in a device's own words, which name no domain; as `<stat>`.
        ReportedState(stat: u8) => reported: History<u8>,
        /// A refusal by the network.
        Reject(reject: Reject) => rejects: History<Reject>,
        /// The cell or network bars access for now, or told the modem to wait.
        Barred => barred: History<()>,
        /// A service state from a serving-cell response.
        Service(service: Service) => service: History<Service>,
        /// The packet attach state of `+CGATT?`.
        Attached(attached: bool) => attached: History<bool>,
        /// Operator choice.
        Operator(operator: Operator) => operator: History<Operator>,
        /// A network list; empty when the search found nothing.
        Scan(list: Vec<ScannedNetwork>) => scans: History<Vec<ScannedNetwork>>,
        /// The usage setting and mode of `+CEMODE` (0..=3).
        UsageMode(mode: u8) => usage_mode: History<u8>,
        /// Whether the settings allow networks other than the home network.
        RoamingAllowed(allowed: bool) => roaming_allowed: History<bool>,
        /// The network sent its time, which it does once a device is attached.
        NetworkTime => network_time: History<()>,
        /// The service indicator of `+CIND?` or `+CIEV` (0 or 1).
        ServiceIndicator(on: bool) => service_indicator: History<bool>,
        /// The names of the indicators in their order, small letters (`+CIND=?`).
        IndicatorNames(names: Vec<String>) => indicator_names: History<Vec<String>>,
        /// The values of all indicators in their order (`+CIND?`).
        IndicatorValues(values: Vec<u8>) => indicator_values: History<Vec<u8>>,
        /// One indicator by its place, counted from 1, and its value (`+CIEV`).
        IndicatorValue(place: u8, value: u8) => indicator_value: History<(u8, u8)>,
    }

    /// Contexts and data sessions.
    sessions: Sessions {
        /// A stored context.
        Context(context: ContextDefinition) => contexts: ByContext<ContextDefinition>,
        /// A context number and whether it is active.
        Active(cid: u8, active: bool) => active: ByContext<bool>,
        /// A context number and its address as text; empty for none.
        Address(cid: u8, address: String) => addresses: ByContext<String>,
        /// Authentication of a context.
        Authentication(authentication: ContextAuthentication) => authentication: History<ContextAuthentication>,
        /// The context that the attach uses, where a response says so.
        AttachContext(cid: u8) => attach_context: History<u8>,
        /// The list of contexts was asked for, and is empty.
        NoContexts => no_contexts: History<()>,
        /// An access point name that a program or a person means to use.
        IntendedName(name: String) => intended_names: History<String>,
        /// A command that opens a data session ended well (`true`) or badly.
        Opening(well: bool) => opening: History<bool>,
        /// The state of the data session in the words of a host or a status page.
        Session(state: SessionState) => reported: History<SessionState>,
        /// A data call was connected.
        Connected => connected: History<()>,
        /// A dial command that ended with `NO CARRIER`.
        NoCarrier => no_carrier: History<()>,
        /// The network detached or deactivated (`+CGEV`): `true` for the whole device, else one context.
        Released(whole: bool) => released: History<bool>,
    }

    /// What passes over an open session.
    path: Path {
        /// The data link between host and modem (dialling, PPP).
        Link(state: LinkState) => links: History<LinkState>,
        /// Something passed over the link (`true`), or did not (`false`).
        Traffic(passed: bool) => traffic: History<bool>,
        /// A name was resolved to an address, or was not.
        NameResolved(well: bool) => name_resolved: History<bool>,
    }
}
