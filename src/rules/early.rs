//! A text that ends too early: a state of the first seconds is no state of now.

use crate::capture::Stamp;
use crate::case::{Case, History};

/// A first search takes longer than this, in seconds; common practice, no source.
const FIRST_SEARCH: f64 = 60.0;

/// The time that the stamped readings cover, in words, where it is less than a first search takes and the search began
/// within it. A modem that is only asked may have searched for hours.
pub(crate) fn covers_only(case: &Case) -> Option<String> {
    if !begins(case) {
        return None;
    }
    let stamps = stamps(case);
    let (first, last) = (stamps.first()?, stamps.last()?);
    let seconds = last.seconds_since(*first);
    (stamps.len() > 1 && seconds < FIRST_SEARCH).then(|| match seconds {
        s if s < 1.5 => "a moment".into(),
        s => format!("{s:.0} seconds"),
    })
}

/// Whether the text shows a beginning: a start, the radio switched on, or a registration that changes.
fn begins(case: &Case) -> bool {
    let switched_on =
        ["+CFUN=1", "+CFUN=1,1", "+CFUN=1,0"].iter().any(|on| case.dialogue.has_sent(on));
    let changes = case.registration.states.values().any(|history| {
        let mut states = history.all().iter().map(|o| o.value.stat);
        let first = states.next();
        states.any(|state| Some(state) != first)
    });
    !case.device.power.all().is_empty() || switched_on || changes
}

/// A sentence without its full stop about a state, and how early it was read.
pub(crate) fn so_far(case: &Case, state: &'static str) -> String {
    covers_only(case).map_or_else(
        || format!("{state}."),
        |span| format!("{state}; the text covers only {span}, and a first search takes minutes."),
    )
}

/// The stamps of what changes with the registration, in the order of the text.
fn stamps(case: &Case) -> Vec<Stamp> {
    fn of<T>(history: &History<T>) -> impl Iterator<Item = (usize, Stamp)> {
        history.all().iter().filter_map(|o| Some((o.order, o.at?)))
    }
    let mut all: Vec<(usize, Stamp)> = case
        .registration
        .states
        .values()
        .flat_map(of)
        .chain(of(&case.registration.service))
        .chain(of(&case.registration.operator))
        .chain(of(&case.device.functionality))
        .chain(of(&case.device.power))
        .chain(of(&case.card.state))
        .chain(of(&case.radio.readings))
        .chain(of(&case.exchanges.failures))
        .collect();
    all.sort_by_key(|(order, _)| *order);
    all.into_iter().map(|(_, at)| at).collect()
}
