//! Tickets alike: by cause, error number of the vendor's own, model and network; and what ended them.

use super::folder::Ticket;
use super::forms::Step;
use crate::sanitize::plain;
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;

/// What two tickets can have in common.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Traits {
    /// The id of a finding.
    pub cause: Option<String>,
    /// The vendor's name as the modem prints it.
    pub vendor: Option<String>,
    /// The model as the modem prints it.
    pub model: Option<String>,
    /// The network.
    pub network: Option<String>,
    /// Error numbers of the vendor's own.
    pub errors: Vec<u16>,
}

/// A ticket like another one.
#[derive(Debug)]
pub struct Alike<'t> {
    /// The ticket.
    pub ticket: &'t Ticket,
    /// What both have, in words.
    pub shared: Vec<String>,
    weight: u8,
}

impl Traits {
    /// The traits of a verdict.
    pub fn of(step: &Step) -> Self {
        Self {
            cause: (!matches!(step.finding.as_str(), "unclear" | "connected"))
                .then(|| step.finding.clone()),
            vendor: step.vendor.clone(),
            model: step.model.clone(),
            network: step.network.clone(),
            errors: step.errors.clone(),
        }
    }

    /// The traits of a ticket: those of any of its verdicts, and what it was in the end.
    fn all_of(ticket: &Ticket) -> Vec<Self> {
        let steps = ticket.texts.iter().filter_map(|text| text.step.as_ref()).map(Self::of);
        let was = ticket.closing.as_ref().and_then(|closing| closing.was.clone());
        let was = was.map(|cause| Self { cause: Some(cause), ..Self::default() });
        steps.chain(was).collect()
    }

    /// Whether an error number of one means the same for the other: numbers of different vendors do not.
    fn is_comparable(&self, other: &Self) -> bool {
        let differ = |one: &Option<String>, other: &Option<String>| {
            one.as_ref().zip(other.as_ref()).map(|(a, b)| !a.eq_ignore_ascii_case(b))
        };
        !differ(&self.vendor, &other.vendor)
            .or_else(|| differ(&self.model, &other.model))
            .unwrap_or(false)
    }

    /// What both have, in words, and how much it weighs.
    fn shared(&self, other: &Self) -> BTreeMap<String, u8> {
        let mut shared = BTreeMap::new();
        for (name, weight, one, other) in [
            ("cause", 3, &self.cause, &other.cause),
            ("model", 1, &self.model, &other.model),
            ("network", 1, &self.network, &other.network),
        ] {
            if let Some((one, _)) =
                one.as_ref().zip(other.as_ref()).filter(|(a, b)| a.eq_ignore_ascii_case(b))
            {
                shared.insert(format!("{name} {one}"), weight);
            }
        }
        if self.is_comparable(other) {
            for error in self.errors.iter().filter(|e| other.errors.contains(e)) {
                shared.insert(format!("error {error}"), 4);
            }
        }
        shared
    }
}

/// The tickets that have everything in common with the traits (`all`), or the cause, an error, or model and network;
/// those with most in common first, closed ones before open ones.
pub fn alike<'t>(tickets: &'t [Ticket], traits: &Traits, all: bool) -> Vec<Alike<'t>> {
    let named = [&traits.cause, &traits.model, &traits.network];
    let wanted = named.into_iter().filter(|t| t.is_some()).count() + traits.errors.len();
    let mut found: Vec<Alike<'_>> = tickets
        .iter()
        .map(|ticket| {
            let mut shared = BTreeMap::new();
            for other in Traits::all_of(ticket) {
                shared.extend(traits.shared(&other));
            }
            let weight = shared.values().sum();
            Alike { ticket, shared: shared.into_keys().collect(), weight }
        })
        .filter(|a| if all { a.shared.len() >= wanted } else { a.weight >= 2 })
        .collect();
    found.sort_by_key(|a| (std::cmp::Reverse(a.weight), a.ticket.closing.is_none()));
    found
}

/// So many different endings are named.
const ENDINGS: usize = 3;

/// What the closed tickets with the same error number of the same vendor were, one sentence a number.
pub fn experience(tickets: &[Ticket], step: &Step) -> Vec<String> {
    let traits = Traits::of(step);
    let mut lines = Vec::new();
    for error in &step.errors {
        let one = Traits { errors: vec![*error], cause: None, ..traits.clone() };
        let closed = tickets.iter().filter_map(|ticket| Some((ticket, ticket.closing.as_ref()?)));
        let same = |other: &Traits| one.is_comparable(other) && other.errors.contains(error);
        let seen: Vec<_> = closed
            .filter(|(ticket, _)| Traits::all_of(ticket).iter().any(same))
            .map(|(_, closing)| closing)
            .collect();
        if seen.is_empty() {
            continue;
        }
        let mut endings: Vec<(String, usize, DateTime<Utc>)> = Vec::new();
        for closing in &seen {
            let note = plain(closing.note.trim()).into_owned();
            match endings.iter_mut().find(|(other, ..)| other.eq_ignore_ascii_case(&note)) {
                Some((_, count, last)) => (*count, *last) = (*count + 1, closing.closed.max(*last)),
                None => endings.push((note, 1, closing.closed)),
            }
        }
        endings.sort_by_key(|(_, count, last)| std::cmp::Reverse((*count, *last)));
        let more = endings.len().saturating_sub(ENDINGS);
        let named = endings.into_iter().take(ENDINGS);
        let mut words: Vec<_> = named
            .map(|(note, count, _)| if count > 1 { format!("{note} ({count})") } else { note })
            .collect();
        if more > 0 {
            words.push(format!("{more} other endings"));
        }
        let noun = if seen.len() == 1 { "ticket" } else { "tickets" };
        lines.push(format!(
            "Error {error}: seen in {} closed {noun}: {}",
            seen.len(),
            words.join("; ")
        ));
    }
    lines
}
