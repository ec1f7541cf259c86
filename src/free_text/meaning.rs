//! From a state of the vocabulary to a fact of the case.

use crate::case::{
    Cell, Domain, Fact, Facts, Holder, Host, Personalisation, Power, Quantity, Registration,
    Reject, Service, Sim,
};
use crate::reference::causes::CauseList;
use crate::reference::status_words::{
    CardState, DeviceState, LinkState, LockState, PortState, RadioState, RegistrationState, State,
};
use crate::span::Span;

/// Notes what a state says; `domain` where the text names one.
pub(super) fn note(state: State, domain: Option<Domain>, span: Span, facts: &mut Facts) {
    let fact = match state {
        State::Registration(state) => return registration(state, domain, span, facts),
        State::Cause(list, cause) => return reason(list, cause, span, facts),
        State::Session(state) => Fact::Session(state),
        State::Link(LinkState::Up) => Fact::Link(LinkState::Up),
        State::Link(state) => Fact::Link(state),
        State::Card(state) => Fact::Sim(card(state)),
        State::Lock(LockState::Network) => Fact::Sim(Sim::Locked(Personalisation::Network)),
        State::Lock(LockState::CardToDevice) => Fact::Sim(Sim::DeviceCode),
        State::Radio(RadioState::Off) => Fact::Service(Service::RadioOff),
        State::Radio(RadioState::OffBySoftware) => Fact::RadioHeld(Holder::Host),
        State::Radio(RadioState::OffByHardware) => Fact::RadioHeld(Holder::Pin),
        State::Device(DeviceState::NotFound) => Fact::Host(Host::NoModem),
        State::Device(DeviceState::Left) => Fact::Host(Host::Gone),
        State::Device(DeviceState::Returned) => Fact::Host(Host::Returned),
        State::Device(DeviceState::Fault | DeviceState::Restarting) => Fact::Fault,
        State::Device(DeviceState::NoDriver) => Fact::Host(Host::NoAtPort),
        State::Device(DeviceState::Hot) => Fact::Power(Power::Temperature),
        State::Device(DeviceState::SupplyLow) => Fact::Power(Power::LowVoltage),
        State::Port(PortState::Busy) => Fact::Host(Host::PortBusy),
        State::Port(PortState::NoPermission) => Fact::Host(Host::PortDenied),
        State::Port(PortState::NoAnswer) => Fact::Host(Host::SaidSilent),
        State::Radio(RadioState::On | RadioState::TechnologiesLimited)
        | State::Signalling(_)
        | State::Port(PortState::Answers)
        | State::SaysNothing
        | State::Unknown => return,
    };
    facts.push(fact, span);
}

const fn card(state: CardState) -> Sim {
    match state {
        CardState::Absent => Sim::NotInserted,
        CardState::Present => Sim::Inserted,
        CardState::Ready => Sim::Ready,
        CardState::Busy => Sim::Busy,
        CardState::Failure => Sim::Failure,
        CardState::PinRequired | CardState::PinWrong => Sim::PinRequired,
        CardState::PukRequired | CardState::Blocked => Sim::PukRequired,
        CardState::Pin2Required | CardState::Puk2Required => Sim::SecondCodeRequired,
        CardState::NoProfile => Sim::NoProfile,
    }
}

fn registration(state: RegistrationState, domain: Option<Domain>, span: Span, facts: &mut Facts) {
    use RegistrationState as R;
    let stat = match state {
        R::Registered | R::RegisteredHome => 1,
        R::RegisteredRoaming => 5,
        R::Searching | R::Attaching => 2,
        R::Denied => 3,
        R::NotSearching | R::Detached => 0,
        R::Attached if domain.is_some() => 1,
        R::Attached => return facts.push(Fact::Attached(true), span),
        R::NoService => return facts.push(Fact::Service(Service::None), span),
        R::LimitedService | R::EmergencyOnly => {
            return facts.push(Fact::Service(Service::Limited), span);
        }
        R::AccessBarred | R::BackOff => return facts.push(Fact::Barred, span),
    };
    match domain {
        Some(domain) => {
            facts.push(
                Fact::Registration(Registration { domain, stat, act: None, unsolicited: true }),
                span,
            );
        }
        None => facts.push(Fact::ReportedState(stat), span),
    }
}

fn reason(kind: CauseList, cause: u8, span: Span, facts: &mut Facts) {
    facts.push(Fact::Reject(Reject { kind, cause, history: true }), span);
    facts.number(Quantity::RejectCause, f64::from(cause), Cell::Serving, span);
}

/// The domain that a list of the vocabulary, or a word of the line, belongs to.
pub(super) fn domain(list: &str, line: &str) -> Option<Domain> {
    match list {
        "state-emm" => return Some(Domain::Eps),
        "state-5gmm" => return Some(Domain::FiveG),
        "state-gmm" => return Some(Domain::Packet),
        "state-mm" => return Some(Domain::Circuit),
        _ => {}
    }
    line.rsplit(|c: char| !c.is_ascii_alphanumeric()).find_map(|word| {
        match word.to_ascii_lowercase().as_str() {
            "lte" | "eps" | "4g" | "ltem" | "nbiot" | "eutran" => Some(Domain::Eps),
            "5g" | "5gs" | "nr" | "fivegs" | "5gmm" => Some(Domain::FiveG),
            "gprs" | "packet" | "ps" => Some(Domain::Packet),
            "circuit" | "cs" | "voice" => Some(Domain::Circuit),
            _ => None,
        }
    })
}
