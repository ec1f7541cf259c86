//! What is known of one modem, card and site: observations in time order, later states first.

mod conflict;
mod dialogue;
mod fact;
mod facts;
mod giving_up;
mod history;
mod keyed;
mod kind;
mod quantity;
mod registration_status;

pub use conflict::{Conflict, conflicts};
pub(crate) use dialogue::Ended;
pub use dialogue::{Dialogue, NotKept, Unread, Why};
pub use fact::*;
pub use facts::*;
pub use history::{Evidence, History, Observation, ReportedBy};
pub use keyed::{ByContext, ByDomain};
pub use kind::*;
pub use quantity::Quantity;
pub use registration_status::RegistrationStatus;

use crate::capture::Stamp;
use crate::span::Span;
use history::Dated;
use std::ops::Deref;

/// Everything that was read of one modem, by layer.
#[derive(Clone, Debug, Default)]
pub struct Case {
    layers: Layers,
    /// What the dialogue itself shows.
    pub dialogue: Dialogue,
    /// The cases of other modems in the same text, in its order.
    pub others: Vec<Case>,
    /// The order with which the host gave up: what came of it is no state of the present.
    pub gave_up: Option<Evidence>,
    count: usize,
}

impl Deref for Case {
    type Target = Layers;

    fn deref(&self) -> &Layers {
        &self.layers
    }
}

impl Case {
    /// Whether a context may carry data: its name, where the text has one, is not for voice or emergency calls.
    pub fn is_for_data(&self, cid: u8) -> bool {
        let context = self.sessions.contexts.get(&cid).and_then(|h| h.latest());
        context.is_none_or(|o| !o.value.is_for_other_use())
    }

    /// Takes one fact in, read at this place and time.
    pub(crate) fn add(&mut self, fact: Fact, span: Span, at: Option<Stamp>, by: ReportedBy) {
        self.count += 1;
        let order = self.count;
        let restarts =
            matches!(fact, Fact::Power(Power::Started | Power::HostRestart | Power::Down));
        let service = match &fact {
            Fact::IndicatorValues(values) => self.service_among(values),
            Fact::IndicatorValue(place, value) => self.service_at(*place, *value),
            _ => None,
        };
        // A host that reports the registration again is over the detach before it.
        if matches!(fact, Fact::ReportedState(1 | 5)) {
            self.layers.sessions.released.outdate();
        }
        if fact == Fact::Functionality(1) {
            self.radio_on();
        }
        self.layers.keep(Observation { value: fact, span, at, order, by });
        if let Some(on) = service {
            let value = Fact::ServiceIndicator(on);
            self.layers.keep(Observation { value, span, at, order, by });
        }
        if restarts {
            self.outdate();
        }
    }

    /// The service indicator at a place counted from 1, where the names were read.
    fn service_at(&self, place: u8, value: u8) -> Option<bool> {
        let names = &self.registration.indicator_names.latest()?.value;
        let name = names.get(usize::from(place).checked_sub(1)?)?;
        (name == "service").then_some(value == 1)
    }

    /// The service indicator among all, where their names were read.
    fn service_among(&self, values: &[u8]) -> Option<bool> {
        let names = &self.registration.indicator_names.latest()?.value;
        let at = names.iter().position(|n| n == "service")?;
        values.get(at).map(|v| *v == 1)
    }

    /// What was read while the radio was off says nothing of the time after it was switched on.
    fn radio_on(&mut self) {
        let Some(off) = self.device.functionality.latest().filter(|o| matches!(o.value, 0 | 4))
        else {
            return;
        };
        let order = off.order;
        for states in self.layers.registration.states.values_mut() {
            if states.latest().is_some_and(|o| o.order > order && o.value.stat == 0) {
                states.outdate();
            }
        }
    }

    /// After a restart, what the network had granted is gone; settings and identities stay.
    fn outdate(&mut self) {
        self.layers.passing().into_iter().for_each(Dated::outdate);
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
        self.radio.readings.current().iter().rev().filter_map(move |o| match &o.value {
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
        self.registration.states.of(domain).latest()
    }

    /// Whether the text holds anything that a modem said, or that was said of one.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }
}

impl Layers {
    /// What a restart ends.
    fn passing(&mut self) -> Vec<&mut dyn Dated> {
        fn dated<T>(history: &mut History<T>) -> &mut dyn Dated {
            history
        }
        let Self { registration, sessions, card, radio, device, path, .. } = self;
        let one = [
            &mut device.functionality as &mut dyn Dated,
            &mut path.links,
            &mut sessions.reported,
            &mut registration.attached,
            &mut registration.reported,
            &mut registration.service,
            &mut registration.rejects,
            &mut card.state,
            &mut radio.readings,
        ];
        let mut all: Vec<&mut dyn Dated> = one.into_iter().collect();
        all.extend(registration.states.values_mut().map(dated));
        all.extend(sessions.active.values_mut().map(dated));
        all.extend(sessions.addresses.values_mut().map(dated));
        all
    }
}
