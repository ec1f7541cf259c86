//! Registration, attach and sessions: what several rules ask of a case.

use crate::case::{Case, Evidence, Observation};
use crate::case::{Domain, Power, Rat, Registration, RegistrationStatus, Service, Sim};
use crate::reference::status_words::{LinkState, SessionState};
use std::sync::LazyLock;

/// The packet domains; the one that carries data wins.
const DATA: [Domain; 3] = [Domain::FiveG, Domain::Eps, Domain::Packet];

/// The most telling state of the packet domains, or of the circuit domain where no other was read.
pub(crate) fn registration_status(case: &Case) -> Option<(RegistrationStatus, Evidence)> {
    let best = |domains: &[Domain]| {
        let state = |d: &Domain| case.stat(*d);
        // Of equal states the newest system's is told.
        domains
            .iter()
            .rev()
            .filter_map(state)
            .max_by_key(|o| RegistrationStatus::of(o.value.stat))
            .map(|o| (RegistrationStatus::of(o.value.stat), evidence(o)))
    };
    // Where the packet domains rest, a search in the circuit domain is the modem's.
    let circuit_searches =
        || best(&[Domain::Circuit]).filter(|(state, _)| *state == RegistrationStatus::Searching);
    let data = best(&DATA).map(|found| match found.0 {
        RegistrationStatus::Idle => circuit_searches().unwrap_or(found),
        _ => found,
    });
    // A serving-cell reply says as much as a registration state, and one that searches or has a
    // network says more than an idle circuit domain.
    let service = || service(case);
    let reported = || case.registration.reported.latest();
    // So do the device's own words for the whole of it.
    let searches = || {
        reported().is_some_and(|o| RegistrationStatus::of(o.value) == RegistrationStatus::Searching)
    };
    let telling =
        || service().is_some_and(|(state, _)| state != RegistrationStatus::Unknown) || searches();
    data.or_else(|| {
        best(&[Domain::Circuit]).filter(|(s, _)| *s != RegistrationStatus::Idle || !telling())
    })
    .or_else(service)
    .or_else(|| {
        let o = reported()?;
        let state = RegistrationStatus::of(o.value);
        Some((state, o.says(format!("in the device's own words: {}", state.words()))))
    })
}

/// What a serving-cell reply says of registration.
fn service(case: &Case) -> Option<(RegistrationStatus, Evidence)> {
    let states = case.registration.service.current();
    let latest = states.last()?;
    // Without service it may search, and then the reply that says so tells more.
    let alike = |o: &&Observation<Service>| {
        latest.value == Service::None && matches!(o.value, Service::None | Service::Searching)
    };
    let searches = states.iter().rev().take_while(alike).find(|o| o.value == Service::Searching);
    let o = searches.unwrap_or(latest);
    match o.value {
        Service::Searching => {
            Some((RegistrationStatus::Searching, o.says("the modem looks for a cell")))
        }
        Service::None => Some((RegistrationStatus::Unknown, o.says("the modem has no service"))),
        Service::Normal => {
            Some((RegistrationStatus::Registered, o.says("the modem has normal service")))
        }
        Service::Limited | Service::RadioOff => None,
    }
}

/// Normal service on a network that registers for data (LTE and later), where no state of a packet
/// domain was read and the circuit domain says nothing else.
pub(crate) fn service_for_data(case: &Case) -> Option<&Observation<Service>> {
    let technology = case.radio.technology.latest()?.value;
    let for_data = matches!(technology, Rat::Lte | Rat::LteM | Rat::NbIot | Rat::Nr);
    let silent = DATA.iter().all(|d| case.stat(*d).is_none())
        && (case.stat(Domain::Circuit).is_none() || circuit_registered(case).is_some());
    case.registration.service.latest().filter(|o| o.value == Service::Normal && for_data && silent)
}

/// Whether the state of a domain that carries data was read; the circuit domain says nothing of it.
pub(crate) fn data_known(case: &Case) -> bool {
    DATA.iter().any(|d| case.stat(*d).is_some()) || service_for_data(case).is_some()
}

fn evidence(o: &Observation<Registration>) -> Evidence {
    o.says(sentence(o.value.domain, o.value.stat))
}

/// The sentence of a state, put together once: it is asked for by nearly every rule.
fn sentence(domain: Domain, stat: u8) -> &'static str {
    const DOMAINS: [Domain; 4] = [Domain::Circuit, Domain::Packet, Domain::Eps, Domain::FiveG];
    /// States above have no meaning, and have the words of the unknown one (TS 27.007 §7.2).
    const HIGHEST: u8 = 11;
    static SENTENCES: LazyLock<Vec<String>> = LazyLock::new(|| {
        let states = |domain: Domain| (0..=HIGHEST).map(move |stat| (domain, stat));
        let words = |(domain, stat): (Domain, u8)| {
            let place = match stat {
                5 | 10 => ", roaming",
                1 | 9 => ", in its home network",
                _ => "",
            };
            let words = match stat {
                11 => "attached for restricted local operator services only",
                _ => RegistrationStatus::of(stat).words(),
            };
            format!("{}: {words}{place}", domain.words())
        };
        DOMAINS.into_iter().flat_map(states).map(words).collect()
    });
    let row = DOMAINS.iter().position(|d| *d == domain).unwrap_or_default();
    &SENTENCES[row * usize::from(HIGHEST + 1) + usize::from(stat.min(HIGHEST))]
}

/// The latest packet registration that is good (home or roaming), as evidence.
pub(crate) fn data_registered(case: &Case) -> Option<Evidence> {
    DATA.iter()
        .filter_map(|d| case.stat(*d))
        .find(|o| RegistrationStatus::of(o.value.stat) == RegistrationStatus::Registered)
        .map(evidence)
        .or_else(|| Some(service_for_data(case)?.says("the modem has normal service")))
}

/// The latest circuit registration that is good, as evidence.
pub(crate) fn circuit_registered(case: &Case) -> Option<Evidence> {
    case.stat(Domain::Circuit)
        .filter(|o| RegistrationStatus::of(o.value.stat) == RegistrationStatus::Registered)
        .map(evidence)
}

/// An address from the network, or an active context, as evidence.
pub(crate) fn bearer_up(case: &Case) -> Option<Evidence> {
    if wanted_refused(case) {
        return None;
    }
    let found = address(case).or_else(|| {
        case.sessions
            .active
            .iter()
            .filter_map(|(cid, h)| h.latest().map(|o| (cid, o)))
            .find(|(cid, o)| o.value && case.is_for_data(**cid))
            .map(|(cid, o)| (o.order, o.says(format!("context {cid} is active"))))
    });
    let found = found.or_else(|| reported_session(case)).or_else(|| passes(case));
    found.filter(|(order, _)| !lost_since(case, *order)).map(|(_, e)| e)
}

/// Whether the context that was asked for by its number was refused, whatever other context is up meanwhile.
fn wanted_refused(case: &Case) -> bool {
    let Some(cid) = asked_for(case).filter(|_| opening_failed(case).is_some()) else {
        return false;
    };
    let sessions = &case.sessions;
    let active = sessions.active.get(&cid).and_then(|h| h.latest()).is_some_and(|o| o.value);
    let address = sessions.addresses.get(&cid).and_then(|h| h.latest());
    let defined = sessions.contexts.get(&cid).is_some_and(|h| h.latest().is_some());
    defined && !active && address.is_none_or(|o| o.value.is_empty())
}

/// The context on which a session was asked for last, by its number: `D*99***3#`, `+CGDATA="PPP",3`, `+CGACT=1,3` (TS
/// 27.007 §10.2.1.1, §10.1.12, §10.1.10).
pub(super) fn asked_for(case: &Case) -> Option<u8> {
    let number = |command: &str| -> Option<u8> {
        let digits = if command.starts_with('D') {
            // `*99#` names no context.
            let dialled = command.strip_suffix('#').filter(|c| c.matches('*').count() > 1)?;
            dialled.rsplit('*').next()?
        } else if command.starts_with("+CGACT=1,") || command.starts_with("+CGDATA=") {
            command.rsplit(',').next()?
        } else {
            return None;
        };
        digits.parse().ok()
    };
    case.dialogue.commands().filter_map(number).last()
}

/// An address that the network gave a context for data, with its place in the order of the text.
///
/// Addresses on a module's own side of its USB interface (192.168.225.0/24) are none of the
/// network's; common practice, no source.
pub(crate) fn address(case: &Case) -> Option<(usize, Evidence)> {
    let latest = case.sessions.addresses.iter().filter_map(|(cid, h)| Some((cid, h.latest()?)));
    latest
        .filter(|(cid, o)| case.is_for_data(**cid) && !o.value.is_empty())
        .find(|(_, o)| !o.value.starts_with("192.168.225."))
        .map(|(cid, o)| (o.order, o.says(format!("context {cid} has an address"))))
}

/// A session that a host or a status page reports as open, or a link that came up, where that is its last state.
fn reported_session(case: &Case) -> Option<(usize, Evidence)> {
    let session = case.sessions.reported.latest();
    let link = case.path.links.latest();
    let session = session
        .filter(|o| {
            o.value == SessionState::Active
                && link.is_none_or(|l| l.order < o.order || l.value == LinkState::Up)
        })
        .map(|o| (o.order, o.says("the host reports an open session")));
    session.or_else(|| {
        link.filter(|o| o.value == LinkState::Up).map(|o| (o.order, o.says("the link is up")))
    })
}

/// Traffic that passes over a modem that its host calls registered or attached: what passes needs a session.
fn passes(case: &Case) -> Option<(usize, Evidence)> {
    let traffic = case.path.traffic.latest().filter(|o| o.value)?;
    let on_the_network =
        case.registration.reported.latest().is_some_and(|o| matches!(o.value, 1 | 5))
            || data_registered(case).is_some()
            || case.registration.attached.latest().is_some_and(|o| o.value);
    let since = session_lost(case).is_none_or(|(order, _)| order < traffic.order);
    (on_the_network && since)
        .then(|| (traffic.order, traffic.says("something passed over the link")))
}

/// What shows that a session was closed or could not be opened, in the words of a host: its last state is a bad one.
pub(crate) fn session_lost(case: &Case) -> Option<(usize, Evidence)> {
    let session = case
        .sessions
        .reported
        .latest()
        .filter(|o| matches!(o.value, SessionState::Inactive | SessionState::NoAddress))
        .map(|o| (o.order, o.says("the host reports no open session")));
    let link = case
        .path
        .links
        .latest()
        .filter(|o| o.value == LinkState::Failed)
        .map(|o| (o.order, o.says("the link failed")));
    session.into_iter().chain(link).max_by_key(|(order, _)| *order)
}

/// The last attempt to open a data session, where it ended badly.
pub(crate) fn opening_failed(case: &Case) -> Option<Evidence> {
    let last = case.sessions.opening.latest().filter(|o| !o.value)?;
    Some(last.says("the attempt to open a session was refused"))
}

/// Whether every packet state that was read is a bad one, and the latest came after `order`.
fn lost_since(case: &Case, order: usize) -> bool {
    let states: Vec<_> = DATA.iter().filter_map(|d| case.stat(*d)).collect();
    !states.is_empty()
        && states.iter().all(|o| matches!(o.value.stat, 0 | 2 | 3 | 8))
        && states.iter().any(|o| o.order > order)
}

/// What shows that the modem is on the network for data: registration, attach, or a bearer.
pub(crate) fn online(case: &Case) -> Option<Evidence> {
    data_registered(case).or_else(|| attached(case)).or_else(|| bearer_up(case))
}

fn attached(case: &Case) -> Option<Evidence> {
    case.registration
        .attached
        .latest()
        .filter(|o| o.value && !lost_since(case, o.order))
        .map(|o| o.says("attached to the packet service"))
}

/// Something in a lower layer that explains why nothing is received or registered.
pub(crate) fn held_back(case: &Case) -> bool {
    let off = case.device.functionality.latest().is_some_and(|o| o.value != 1)
        || case.registration.service.latest().is_some_and(|o| o.value == Service::RadioOff);
    let card = card_state(case).is_some_and(|o| {
        !matches!(o.value, Sim::Ready | Sim::Inserted | Sim::SecondCodeRequired | Sim::Busy)
    });
    // A modem that was taken off the network measures nothing.
    let left = case.registration.operator.latest().is_some_and(|o| o.value.mode == 2);
    off || card || left
}

/// The latest state of the card that says more than its mere presence.
pub(crate) fn card_state(case: &Case) -> Option<&Observation<Sim>> {
    let said = case
        .card
        .state
        .current()
        .iter()
        .rev()
        .find(|o| !matches!(o.value, Sim::Inserted | Sim::SecondCodeRequired));
    said.or_else(|| case.card.state.latest())
}

/// Whether the last read of the card's state ended in an error that tells nothing: without a card a modem
/// rests and often measures nothing.
pub(crate) fn card_unread(case: &Case) -> bool {
    let failed = case.exchanges.failures.all().iter().rev();
    let failed = failed.clone().find(|o| o.value.command.eq_ignore_ascii_case("+CPIN?"));
    let known = case.card.state.latest().map_or(0, |o| o.order);
    failed.is_some_and(|o| o.order > known)
}

/// Whether the reading at `order` was taken within the first moments after a start.
pub(crate) fn just_started(case: &Case, order: usize) -> bool {
    const MOMENTS: usize = 8;
    case.device.power.all().iter().rev().find(|o| o.order < order).is_some_and(|o| {
        matches!(o.value, Power::Started | Power::Starting) && order - o.order < MOMENTS
    })
}

/// A refusal by the network, which takes a radio that is on and a card that was read.
pub(crate) fn refusal(case: &Case) -> Option<Evidence> {
    match registration_status(case) {
        Some((RegistrationStatus::Denied, evidence)) => Some(evidence),
        _ => case
            .registration
            .rejects
            .latest()
            .filter(|o| !o.value.history)
            .map(|o| o.says("the network refused the modem, so it was heard")),
    }
}
