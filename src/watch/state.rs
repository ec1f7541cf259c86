//! Looks and samples in order to events: what was lost and regained, what changed, which levels are low.
//!
//! A level is low after two readings under the threshold, and has recovered after two that are 3 dB above it: one fade
//! is no event. A loss counts at once, with the span in which it can have begun.

use super::event::{Event, Kind};
use super::look::{Look, Refusal};
use super::trouble::{Trouble, Troubles};
use crate::case::{Rat, RegistrationStatus, Sim};
use crate::reference::causes::{Found, cause};
use crate::reference::thresholds::threshold;
use crate::survey::reading::carrying;
use crate::survey::sample::{Cell, Sample};
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;
use std::time::Duration;

/// So many dB above the threshold a level has recovered (common practice, no source).
const HYSTERESIS_DB: f64 = 3.0;
/// So many readings in a row decide.
const IN_A_ROW: u8 = 2;
/// So many probes in a row without an answer are a loss of traffic (common practice, no source).
const PROBES: u8 = 3;

/// The moment of a look: by the clock on the wall, and by one that is never set.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// The wall clock.
    pub at: DateTime<Utc>,
    /// The other one.
    pub now: Duration,
}

/// What is known of the modem, over time.
#[derive(Clone, Debug, Default)]
pub struct State {
    low_dbm: Option<f64>,
    troubles: Troubles,
    registered: Option<bool>,
    stat: Option<u8>,
    last_well: Option<Duration>,
    cell: Cell,
    network: String,
    addresses: BTreeMap<u8, String>,
    has_had_address: bool,
    card: Option<Sim>,
    low: bool,
    against: u8,
    failed_probes: u8,
}

impl State {
    /// Nothing is known yet; a level under `low_dbm` is low.
    pub fn new(low_dbm: Option<f64>) -> Self {
        Self { low_dbm, ..Self::default() }
    }

    /// Whether the modem is registered, where that is known.
    pub const fn registered(&self) -> Option<bool> {
        self.registered
    }

    /// The `<stat>` of the registration that carries data.
    pub const fn stat(&self) -> Option<u8> {
        self.stat
    }

    /// When the present outage began; `None` while all is well.
    pub fn out_since(&self) -> Option<Duration> {
        self.troubles.since()
    }

    /// What the outage is, the lowest trouble where there are several.
    pub fn trouble(&self) -> Option<Trouble> {
        self.troubles.lowest()
    }

    /// Whether this trouble lasts.
    pub fn has(&self, trouble: Trouble) -> bool {
        self.troubles.has(trouble)
    }

    /// A trouble of the line begins.
    pub fn begin(&mut self, trouble: Trouble, moment: Moment, text: &str) -> Option<Event> {
        let event = self.troubles.begin(trouble, moment.at, moment.now, self.last_well, text);
        if event.is_some() {
            self.registered = None;
        }
        event
    }

    /// A trouble of the line ends.
    pub fn end(&mut self, trouble: Trouble, moment: Moment) -> Option<Event> {
        self.troubles.end(trouble, moment.at, moment.now)
    }

    /// Takes what was seen.
    pub fn look(&mut self, look: &Look, moment: Moment) -> Vec<Event> {
        let mut events = Vec::new();
        if let Some(card) = look.card {
            self.take_card(card, moment, &mut events);
        }
        if let Some(stat) = carrying(&look.states) {
            self.take_state(stat, look.refusal, moment, &mut events);
        }
        if !look.addresses.is_empty() {
            self.take_addresses(&look.addresses, moment, &mut events);
        }
        if self.troubles.lowest().is_none() && self.registered == Some(true) {
            self.last_well = Some(moment.now);
        }
        events
    }

    fn take_state(
        &mut self,
        stat: u8,
        refusal: Option<Refusal>,
        moment: Moment,
        events: &mut Vec<Event>,
    ) {
        let status = RegistrationStatus::of(stat);
        let registered = status == RegistrationStatus::Registered;
        if registered {
            events.extend(self.troubles.end(Trouble::Registration, moment.at, moment.now));
        } else {
            let mut text = format!("{} ({stat})", status.words());
            if self.registered.is_none() && self.last_well.is_none() {
                text.push_str(", as the watch began");
            }
            let mut event = self.troubles.begin(
                Trouble::Registration,
                moment.at,
                moment.now,
                self.last_well,
                &text,
            );
            if let Some(refusal) = refusal {
                let short = format!("{} {}", refusal.list.word(), refusal.number);
                if self.troubles.cause(Trouble::Registration, &short) {
                    let words = refusal_words(refusal);
                    match &mut event {
                        Some(event) => (event.cause, event.text) = (short, words),
                        None => events.push(Event {
                            cause: short,
                            ..Event::new(moment.at, Kind::Note, words)
                        }),
                    }
                }
            }
            events.extend(event);
        }
        self.registered = Some(registered);
        self.stat = Some(stat);
    }

    fn take_card(&mut self, card: Sim, moment: Moment, events: &mut Vec<Event>) {
        // A busy card, and a second code, say nothing of whether it can be used.
        if matches!(card, Sim::Busy | Sim::SecondCodeRequired) {
            return;
        }
        let usable = |card: Sim| matches!(card, Sim::Ready | Sim::Inserted);
        let was = self.card.replace(card);
        match (was.is_none_or(usable), usable(card)) {
            (true, false) => {
                events.push(Event::new(moment.at, Kind::CardTrouble, card_words(card)));
            }
            (false, true) => events.push(Event::new(moment.at, Kind::CardReady, "")),
            _ => {}
        }
    }

    fn take_addresses(
        &mut self,
        addresses: &BTreeMap<u8, String>,
        moment: Moment,
        events: &mut Vec<Event>,
    ) {
        let given = |a: &String| !a.is_empty() && !a.split(',').all(is_none);
        let has = addresses.values().any(given);
        if has {
            events.extend(self.troubles.end(Trouble::Session, moment.at, moment.now));
            if self.has_had_address {
                let changed = addresses.iter().filter(|(cid, now)| {
                    given(now) && self.addresses.get(cid).is_some_and(|was| was != *now)
                });
                for (cid, _) in changed {
                    let text = format!("context {cid}");
                    events.push(Event::new(moment.at, Kind::AddressChanged, text));
                }
            }
            self.addresses
                .extend(addresses.iter().filter(|(_, a)| given(a)).map(|(c, a)| (*c, a.clone())));
            self.has_had_address = true;
        } else if self.has_had_address && self.registered == Some(true) {
            let text = "no context has an address";
            let (at, now) = (moment.at, moment.now);
            events.extend(self.troubles.begin(Trouble::Session, at, now, self.last_well, text));
        }
    }

    /// Takes a sample: changes of cell, band, technology and network, and the level.
    pub fn sample(&mut self, sample: &Sample) -> Vec<Event> {
        let mut events = Vec::new();
        let at = sample.at;
        if self.registered == Some(true) {
            self.take_cell(&sample.cell, at, &mut events);
        }
        if let Some(level) = sample.levels.rsrp_dbm {
            self.take_level(level, &sample.cell.technology, at, &mut events);
        }
        events
    }

    fn take_cell(&mut self, now: &Cell, at: DateTime<Utc>, events: &mut Vec<Event>) {
        let before = std::mem::take(&mut self.cell);
        let mut change = |kind, from: String, to: String| {
            if !from.is_empty() && !to.is_empty() && from != to {
                events.push(Event::change(at, kind, from, to));
            }
        };
        let band = |c: &Cell| c.band.map_or_else(String::new, |b| format!("band {b}"));
        change(Kind::TechnologyChanged, before.technology.clone(), now.technology.clone());
        change(Kind::BandChanged, band(&before), band(now));
        change(Kind::NetworkChanged, self.network.clone(), now.plmn.clone());
        if !before.is_unknown() && !now.is_unknown() && !before.may_be(now) {
            change(Kind::CellChanged, before.to_string(), now.to_string());
        }
        if !now.plmn.is_empty() {
            self.network.clone_from(&now.plmn);
        }
        // A reading that tells nothing of the cell is no other cell.
        self.cell = if now.is_unknown() { before } else { now.clone() };
    }

    fn take_level(
        &mut self,
        level: f64,
        technology: &str,
        at: DateTime<Utc>,
        events: &mut Vec<Event>,
    ) {
        let Some(low) = self.low_dbm.or_else(|| usual_low(technology)) else { return };
        let against = if self.low { level >= low + HYSTERESIS_DB } else { level < low };
        self.against = if against { self.against + 1 } else { 0 };
        if self.against < IN_A_ROW {
            return;
        }
        self.against = 0;
        self.low = !self.low;
        let kind = if self.low { Kind::LevelLow } else { Kind::LevelRecovered };
        events.push(Event { level_dbm: Some(level), ..Event::new(at, kind, "") });
    }

    /// Takes what became of a probe; only a registered modem can have lost its traffic.
    pub fn probed(&mut self, answered: bool, moment: Moment, why: &str) -> Option<Event> {
        if answered {
            self.failed_probes = 0;
            return self.troubles.end(Trouble::Traffic, moment.at, moment.now);
        }
        if self.registered != Some(true) {
            return None;
        }
        self.failed_probes = (self.failed_probes + 1).min(PROBES);
        if self.failed_probes < PROBES {
            return None;
        }
        self.troubles.begin(Trouble::Traffic, moment.at, moment.now, self.last_well, why)
    }
}

/// What is wrong with a card.
const fn card_words(card: Sim) -> &'static str {
    match card {
        Sim::PinRequired => "it waits for its PIN",
        Sim::PukRequired => "it is blocked and waits for its PUK",
        Sim::Locked(_) => "the device is bound to another card",
        Sim::DeviceCode => "the device waits for its own code to this card",
        Sim::NotInserted => "it is not seen",
        Sim::Wrong => "it is of a wrong kind",
        Sim::NoProfile => "no profile is enabled on it",
        Sim::Failure => "it does not work",
        Sim::Ready | Sim::Inserted | Sim::SecondCodeRequired | Sim::Busy => "",
    }
}

/// The address that stands for none.
fn is_none(address: &str) -> bool {
    address.is_empty() || address.chars().all(|c| matches!(c, '0' | '.' | ':'))
}

/// Where a level is low in a technology: the edge of the range in which it has little to spare.
fn usual_low(technology: &str) -> Option<f64> {
    let name = match technology {
        t if t == Rat::Gsm.name() => "rxlev",
        t if t == Rat::Utra.name() => "rscp",
        _ => "reserve-rsrp",
    };
    threshold(name).map(|t| t.begins)
}

fn refusal_words(refusal: Refusal) -> String {
    let name = match cause(refusal.list, refusal.number) {
        Some(Found::Assigned(row)) => format!(", {}", row.name),
        _ => String::new(),
    };
    format!("refused by the network: {} cause {}{name}", refusal.list.name(), refusal.number)
}

#[cfg(test)]
mod tests;
