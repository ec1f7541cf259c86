//! What is known of one modem, card and site: observations in time order, later states first.

mod by_domain;
mod conflict;
mod dialogue;
mod fact;
mod history;
mod kind;
mod quantity;

pub use by_domain::ByDomain;
pub use conflict::{Conflict, conflicts};
pub use dialogue::Dialogue;
pub use fact::*;
pub use history::{Evidence, History, Observation};
pub use kind::*;
pub use quantity::Quantity;

use crate::capture::Stamp;
use crate::span::Span;
use compact_str::CompactString;
use std::collections::BTreeMap;
use std::mem::take;

/// A number or a word.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the unit of its quantity; `None` where the modem had no value.
    Number(Option<f64>),
    /// A word.
    Word(CompactString),
}

/// One reading of a quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was read.
    pub quantity: Quantity,
    /// Its value.
    pub value: Value,
    /// The cell it belongs to.
    pub cell: Cell,
}

/// Everything that was read, by kind.
#[derive(Clone, Debug, Default)]
#[expect(missing_docs, reason = "each field is the history of the fact that its type documents")]
pub struct Case {
    pub readings: History<Reading>,
    pub registration: ByDomain<History<Registration>>,
    pub rejects: History<Reject>,
    pub sim: History<Sim>,
    pub pin_tries: History<u8>,
    pub functionality: History<u8>,
    pub service: History<Service>,
    pub attached: History<bool>,
    pub contexts: BTreeMap<u8, History<ContextDefinition>>,
    pub active: BTreeMap<u8, History<bool>>,
    pub addresses: BTreeMap<u8, History<String>>,
    pub authentication: History<ContextAuthentication>,
    pub attach_context: History<u8>,
    pub operator: History<Operator>,
    pub scans: History<Vec<ScannedNetwork>>,
    pub forbidden: History<Vec<String>>,
    pub usage_mode: History<u8>,
    pub power_saving: History<bool>,
    pub technology: History<Rat>,
    pub allowed: History<Vec<Rat>>,
    pub supported_bands: History<(Rat, Vec<u16>)>,
    pub enabled_bands: History<(Rat, Vec<u16>)>,
    pub ports: History<(u8, Quantity, Option<f64>)>,
    pub imsi: History<String>,
    pub iccid: History<String>,
    pub imei: History<String>,
    pub mnc_length: History<u8>,
    pub gid1: History<String>,
    pub provider_name: History<String>,
    pub model: History<String>,
    pub firmware: History<String>,
    pub power: History<Power>,
    pub host: History<Host>,
    pub failures: History<Failure>,
    pub no_carrier: History<()>,
    pub connected: History<()>,
    pub released: History<bool>,
    pub opening: History<bool>,
    pub service_indicator: History<bool>,
    pub unsettled: History<Uncertainty>,
    pub sim_slot: History<u8>,
    pub puk_tries: History<u8>,
    pub held: History<Holder>,
    pub cell_lock: History<bool>,
    pub operator_profile: History<String>,
    pub pin_asked_again: History<()>,
    pub said_restarts: History<()>,
    pub intended_names: History<String>,
    /// Bands that the network uses, as a person tells them.
    pub told_bands: History<Vec<u16>>,
    /// States of registration that a device told in words, without a domain.
    pub told_states: History<u8>,
    pub network_time: History<()>,
    pub no_contexts: History<()>,
    pub indicators: History<Vec<String>>,
    pub facilities: History<(String, bool)>,
    pub preferred: History<String>,
    pub card_location: History<CardLocation>,
    pub access_classes: History<Vec<u8>>,
    pub traffic: History<bool>,
    pub dialogue: Dialogue,
    pub others: Vec<Case>,
    count: usize,
    /// A bit for each quantity of the serving cell that was read as a number, or asked for.
    quantities: u64,
}

const _: () = assert!(Quantity::ALL.len() <= 64, "a bit for each quantity");

impl Case {
    fn number(
        &mut self,
        quantity: Quantity,
        value: Option<f64>,
        cell: Cell,
        span: Span,
        at: Option<Stamp>,
    ) {
        if cell == Cell::Serving {
            self.quantities |= 1 << quantity as u8;
        }
        let value = Reading { quantity, value: Value::Number(value), cell };
        self.readings.push(Observation { value, span, at, order: self.count });
    }

    /// Takes one fact in, read at this place and time; small values are copied and large ones moved out.
    pub(crate) fn add(&mut self, fact: &mut Fact, span: Span, at: Option<Stamp>) {
        self.count += 1;
        let order = self.count;
        macro_rules! keep {
            ($history:expr, $value:expr) => {
                $history.push(Observation { value: $value, span, at, order })
            };
        }
        // What is small is copied from where it stands, and what is large is taken away.
        match *fact {
            Fact::Number(quantity, value, cell) => {
                self.number(quantity, Some(value), cell, span, at);
            }
            Fact::Unknown(quantity, cell) => self.number(quantity, None, cell, span, at),
            Fact::Word(quantity, ref mut word, cell) => {
                keep!(self.readings, Reading { quantity, value: Value::Word(take(word)), cell });
            }
            Fact::Registration(r) => keep!(self.registration.of_mut(r.domain), r),
            Fact::Reject(r) => keep!(self.rejects, r),
            Fact::Sim(sim) => keep!(self.sim, sim),
            Fact::PinTries(n) => keep!(self.pin_tries, n),
            Fact::Functionality(level) => {
                if level == 1 {
                    self.radio_on();
                }
                keep!(self.functionality, level);
            }
            Fact::Service(service) => keep!(self.service, service),
            Fact::Attached(attached) => keep!(self.attached, attached),
            Fact::Context(ref mut context) => {
                keep!(self.contexts.entry(context.cid).or_default(), take(context));
            }
            Fact::Active(cid, active) => keep!(self.active.entry(cid).or_default(), active),
            Fact::Address(cid, ref mut address) => {
                keep!(self.addresses.entry(cid).or_default(), take(address));
            }
            Fact::Authentication(ref mut a) => keep!(self.authentication, take(a)),
            Fact::AttachContext(cid) => keep!(self.attach_context, cid),
            Fact::Operator(ref mut operator) => keep!(self.operator, take(operator)),
            Fact::Scan(ref mut list) => keep!(self.scans, take(list)),
            Fact::Forbidden(ref mut list) => keep!(self.forbidden, take(list)),
            Fact::UsageMode(mode) => keep!(self.usage_mode, mode),
            Fact::PowerSaving(on) => keep!(self.power_saving, on),
            Fact::Technology(rat) => keep!(self.technology, rat),
            Fact::AllowedTechnologies(ref mut list) => keep!(self.allowed, take(list)),
            Fact::SupportedBands(rat, ref mut list) => {
                keep!(self.supported_bands, (rat, take(list)));
            }
            Fact::EnabledBands(rat, ref mut list) => keep!(self.enabled_bands, (rat, take(list))),
            Fact::Port(port, quantity, value) => keep!(self.ports, (port, quantity, Some(value))),
            Fact::PortUnknown(port, quantity) => keep!(self.ports, (port, quantity, None)),
            Fact::Imsi(ref mut digits) => keep!(self.imsi, take(digits)),
            Fact::Iccid(ref mut digits) => keep!(self.iccid, take(digits)),
            Fact::Imei(ref mut digits) => keep!(self.imei, take(digits)),
            Fact::Gid1(ref mut group) => keep!(self.gid1, take(group)),
            Fact::ProviderName(ref mut name) => keep!(self.provider_name, take(name)),
            Fact::Model(ref mut model) => keep!(self.model, take(model)),
            Fact::Firmware(ref mut revision) => keep!(self.firmware, take(revision)),
            Fact::MncLength(length) => keep!(self.mnc_length, length),
            Fact::Failed(ref mut failure) => keep!(self.failures, take(failure)),
            Fact::NoCarrier => keep!(self.no_carrier, ()),
            Fact::Connected => keep!(self.connected, ()),
            Fact::Opening(well) => keep!(self.opening, well),
            Fact::Released(whole) => keep!(self.released, whole),
            Fact::ServiceIndicator(on) => keep!(self.service_indicator, on),
            Fact::Traffic(passed) => keep!(self.traffic, passed),
            Fact::Host(host) => keep!(self.host, host),
            Fact::Power(power) => {
                keep!(self.power, power);
                if matches!(power, Power::Started | Power::HostRestart | Power::Down) {
                    self.outdate();
                }
            }
            Fact::Uncertain(uncertainty) => keep!(self.unsettled, uncertainty),
            Fact::SimSlot(slot) => keep!(self.sim_slot, slot),
            Fact::PukTries(n) => keep!(self.puk_tries, n),
            Fact::RadioHeld(holder) => keep!(self.held, holder),
            Fact::CellLock(locked) => keep!(self.cell_lock, locked),
            Fact::SaidRestarts => keep!(self.said_restarts, ()),
            Fact::PinAskedAgain => keep!(self.pin_asked_again, ()),
            Fact::IntendedName(ref mut name) => keep!(self.intended_names, take(name)),
            Fact::ToldBands(ref mut bands) => keep!(self.told_bands, take(bands)),
            // Where the modem stands is a survey's business.
            Fact::Place(_) => {}
            Fact::ToldState(stat) => keep!(self.told_states, stat),
            Fact::OperatorProfile(ref mut name) => keep!(self.operator_profile, take(name)),
            Fact::NetworkTime => keep!(self.network_time, ()),
            Fact::NoContexts => keep!(self.no_contexts, ()),
            // No rule asks for them; the text keeps them.
            Fact::RadioConnected(_) | Fact::Manufacturer(_) => {}
            Fact::IndicatorNames(ref mut names) => keep!(self.indicators, take(names)),
            Fact::IndicatorValues(ref values) => {
                if let Some(on) = self.service_among(values) {
                    keep!(self.service_indicator, on);
                }
            }
            Fact::IndicatorValue(place, value) => {
                let named = self.indicators.latest().and_then(|o| {
                    o.value.get(usize::from(place).checked_sub(1)?).map(String::as_str)
                });
                if named == Some("service") {
                    keep!(self.service_indicator, value == 1);
                }
            }
            Fact::Facility(ref mut code, on) => keep!(self.facilities, (take(code), on)),
            Fact::Preferred(ref mut network) => keep!(self.preferred, take(network)),
            Fact::CardLocation(ref mut location) => keep!(self.card_location, take(location)),
            Fact::AccessClasses(ref mut classes) => keep!(self.access_classes, take(classes)),
        }
    }

    /// The service indicator among all, where their names were read.
    fn service_among(&self, values: &[u8]) -> Option<bool> {
        let names = &self.indicators.latest()?.value;
        let at = names.iter().position(|n| n == "service")?;
        values.get(at).map(|v| *v == 1)
    }

    /// What was read while the radio was off says nothing of the time after it was switched on.
    fn radio_on(&mut self) {
        let Some(off) = self.functionality.latest().filter(|o| matches!(o.value, 0 | 4)) else {
            return;
        };
        let order = off.order;
        for states in self.registration.values_mut() {
            if states.latest().is_some_and(|o| o.order > order && o.value.stat == 0) {
                states.outdate();
            }
        }
    }

    /// After a restart, what the network had granted is gone; settings and identities stay.
    fn outdate(&mut self) {
        self.registration.values_mut().for_each(History::outdate);
        self.active.values_mut().for_each(History::outdate);
        self.addresses.values_mut().for_each(History::outdate);
        self.attached.outdate();
        self.service.outdate();
        self.sim.outdate();
        self.rejects.outdate();
        self.readings.outdate();
    }

    /// The latest value of a quantity on the serving cell, with `None` inside where the modem
    /// answered that it has no value.
    pub fn level(&self, quantity: Quantity) -> Option<(Option<f64>, &Observation<Reading>)> {
        self.levels(quantity).next()
    }

    /// The values of a quantity on the serving cell, the latest first.
    pub(crate) fn levels(
        &self,
        quantity: Quantity,
    ) -> impl Iterator<Item = (Option<f64>, &Observation<Reading>)> {
        let read = self.quantities >> quantity as u8 & 1 == 1;
        let readings = if read { self.readings.current() } else { &[] };
        readings.iter().rev().filter_map(move |o| match &o.value {
            Reading { quantity: q, value: Value::Number(n), cell: Cell::Serving }
                if *q == quantity =>
            {
                Some((*n, o))
            }
            _ => None,
        })
    }

    /// The latest state of a domain.
    pub fn stat(&self, domain: Domain) -> Option<&Observation<Registration>> {
        self.registration.of(domain).latest()
    }

    /// Whether the text holds anything that a modem said, or that was said of one.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }
}
