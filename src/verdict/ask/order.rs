//! The order in which a good engineer would ask: what was refused first, then what the registration status calls for.

use super::Aim;
use super::shown::{bare_errors, in_words, is_shown, unexplained};
use crate::case::{
    Failure, History, Observation, Quantity, Reading, Registration, Service, Sim, Value,
};
use crate::reference::models::System;
use crate::rules::reads::{
    ALIVE, ATTACHED, BANDS, CARD, CHOICE, CIRCUIT_STATE, CONTEXT_RANGE, CONTEXTS, EPS_STATE,
    FULL_LEVEL, IDENTITY, LAST_FAILURE, LEVEL, MODEL, NAME_SERVERS, PACKET_STATE, POWER_SAVING,
    RADIO, REASON, REASON_5G, SEARCH, SESSION_PARAMETERS, SESSIONS, STATE_5G, TECHNOLOGY, USAGE,
    VERBOSE,
};
use crate::rules::{
    self, Layer, Read, RegistrationStatus, Site, circuit_registered, data_known, data_registered,
    opening_failed,
};
use std::sync::LazyLock;

/// The groups to ask for.
pub(super) struct Order {
    /// What is asked whichever rules it settles.
    pub(super) urgent: Vec<&'static Read>,
    /// What is asked where it settles a rule that is open.
    pub(super) further: Vec<&'static Read>,
}

/// The groups in the order in which a good engineer would ask, by the registration status.
pub(super) fn order(site: &Site<'_>, aim: Aim) -> Order {
    match aim {
        Aim::Below(root) if !root.follow_up.is_empty() => {
            return Order { urgent: root.follow_up.to_vec(), further: Vec::new() };
        }
        Aim::Health(_) if !data_known(site) => {
            return Order { urgent: states(site), further: by_status(site) };
        }
        _ => {}
    }
    let mut urgent = Vec::new();
    // What settles a cause that was found comes before what is common; a state has causes below it, and nothing can be
    // sent to a port that is not there.
    if let Aim::Below(root) = aim
        && !(root.is_state)(site)
        && root.layer() != Layer::Host
    {
        urgent.extend(root.settled_by);
    }
    let port_unclear = site.dialogue.unanswered > 0 || site.host.reports.latest().is_some();
    if site.dialogue.answered == 0 && port_unclear && aim == Aim::Cause {
        urgent.push(&ALIVE);
    }
    urgent.extend(refused(site));
    // Of what the radio does a state of registration tells more than any level.
    let of_radio = |layer| matches!(layer, Layer::Radio | Layer::Registration);
    if let Aim::Below(root) = aim
        && of_radio(root.layer())
        && data_registered(site).is_none()
    {
        urgent.extend(states(site).first());
    }
    if comes_and_goes(site) {
        urgent.push(&POWER_SAVING);
    }
    Order { urgent, further: by_status(site) }
}

/// The reads that belong to the last command that was refused: what it was to change, and why it failed.
fn refused(site: &Site<'_>) -> Vec<&'static Read> {
    const LAST: [(&str, &[&Read]); 7] = [
        ("+CFUN", &[&RADIO]),
        ("+CPIN", &[&CARD]),
        ("+COPS", &[&CHOICE]),
        ("+CGATT", &[&ATTACHED, &LAST_FAILURE]),
        ("+CGDCONT", &[&CONTEXT_RANGE, &CONTEXTS]),
        ("+CNMP", &[&TECHNOLOGY]),
        ("!SELRAT", &[&TECHNOLOGY]),
    ];
    let refused = |(name, reads): &(&str, &'static [&'static Read])| {
        let (_, well) = site.dialogue.last_set(name)?;
        (!well).then_some(*reads)
    };
    LAST.iter().filter_map(refused).flatten().copied().collect()
}

/// Whether a level was measured and later was not, on a modem that is on the network: as in power saving.
fn comes_and_goes(site: &Site<'_>) -> bool {
    let numbers = |q: Quantity| {
        site.radio.readings.current().iter().filter_map(move |o| match &o.value {
            Reading { quantity, value: Value::Number(n), .. } if *quantity == q => {
                Some(n.is_some())
            }
            _ => None,
        })
    };
    let both = |q| numbers(q).skip_while(|known| !known).any(|known| !known);
    let on_network = data_registered(site).is_some() || circuit_registered(site).is_some();
    on_network && [Quantity::Rsrp, Quantity::Rssi].into_iter().any(both)
}

/// The reads of registration for data, that of the system in use first.
fn states(site: &Site<'_>) -> Vec<&'static Read> {
    match site.system() {
        Some(System::Gsm | System::Umts) => vec![&PACKET_STATE, &CIRCUIT_STATE],
        Some(System::Nr) => vec![&STATE_5G, &EPS_STATE],
        Some(System::Lte | System::NbIot) => vec![&EPS_STATE],
        None => vec![&EPS_STATE, &PACKET_STATE],
    }
}

/// The read of registration for data in the system in use.
pub(in crate::verdict) fn state(site: &Site<'_>) -> &'static str {
    states(site)[0].commands[0]
}

/// The reads of the reject cause in the system in use.
fn reasons(site: &Site<'_>) -> Vec<&'static Read> {
    match site.system() {
        Some(System::Gsm | System::Umts) => vec![&LAST_FAILURE],
        Some(System::Nr) => vec![&REASON_5G, &LAST_FAILURE],
        _ => vec![&REASON, &LAST_FAILURE],
    }
}

/// The state of registration that decides what to ask.
fn status(site: &Site<'_>) -> Option<RegistrationStatus> {
    let service = site.registration.service.latest().map(|o| o.value);
    site.registration_status()
        .map(|(status, _)| status)
        .or_else(|| (service == Some(Service::Limited)).then_some(RegistrationStatus::Emergency))
}

fn by_status(site: &Site<'_>) -> Vec<&'static Read> {
    if site.dialogue.answered == 0 && site.case.is_empty() {
        return vec![&CARD, &EPS_STATE, &LEVEL, &LAST_FAILURE];
    }
    let (states, reasons) = (states(site), reasons(site));
    let mut order: Vec<&'static Read> = Vec::with_capacity(20);
    if let Some(command) = unexplained(site).filter(|_| !in_words(site)) {
        order.push(&VERBOSE);
        if reads_card(command.trim_start_matches("AT")) && !card_known(site) {
            order.push(&CARD);
        }
    }
    let status = status(site);
    // Voice alone says nothing of data; a modem without any service is on no network.
    let without_service =
        site.registration.service.latest().is_some_and(|o| o.value == Service::None);
    // Out of coverage on 2G and 3G a modem of an unknown system may be on LTE.
    let other_system = site.system().is_none() && status != Some(RegistrationStatus::Registered);
    if status.is_some() && (!data_known(site) || other_system) && !without_service {
        order.extend(states.first());
    }
    let endless = status == Some(RegistrationStatus::Searching) && endless(site);
    let registered = status == Some(RegistrationStatus::Registered);
    if !card_known(site) && !of_sessions(site) && !registered && !endless {
        order.push(&CARD);
    }
    // The standard's own read of the cell tells less than the level alone.
    let own = site.command_set().is_some_and(|set| set.cell != "AT+CESQ");
    match status {
        Some(RegistrationStatus::Denied) => {
            order.extend(reasons);
            order.extend([&CHOICE, &IDENTITY, &CONTEXTS]);
        }
        Some(RegistrationStatus::Registered) if data_registered(site).is_some() => {
            order.extend([&SESSIONS, &CONTEXTS, &ATTACHED, &LAST_FAILURE]);
        }
        Some(RegistrationStatus::Registered | RegistrationStatus::ShortMessages) => {
            order.extend([&ATTACHED, &SESSIONS, &CONTEXTS]);
            order.extend(reasons);
        }
        Some(RegistrationStatus::Emergency) => {
            order.extend(reasons);
            order.extend([&CHOICE, &IDENTITY]);
        }
        // An endless search is often a refusal whose cause was not asked for.
        Some(RegistrationStatus::Searching | RegistrationStatus::Unknown) if bands_told(site) => {
            order.extend([&BANDS, &TECHNOLOGY, &MODEL]);
            order.extend(level(site, own));
            order.extend([&CHOICE]);
            order.extend(reasons);
        }
        Some(RegistrationStatus::Searching | RegistrationStatus::Unknown) if endless => {
            if !is_level_known(site) {
                order.push(&LEVEL);
            }
            order.extend(reasons);
            order.extend([&FULL_LEVEL, &CHOICE, &CARD, &TECHNOLOGY, &SEARCH, &USAGE, &IDENTITY]);
        }
        Some(RegistrationStatus::Searching | RegistrationStatus::Unknown) => {
            // A cell response without a level: what is left is what the settings allow.
            let cell_shown = site.command_set().is_some_and(|set| is_shown(site, set.cell));
            if cell_shown && (without_service || !is_level_known(site)) {
                order.push(&TECHNOLOGY);
            }
            order.extend(level(site, own));
            order.extend([&CHOICE]);
            order.extend(reasons);
            order.extend([&FULL_LEVEL, &TECHNOLOGY, &SEARCH, &USAGE, &IDENTITY]);
        }
        Some(RegistrationStatus::Idle) => {
            order.push(&RADIO);
            order.extend(level(site, own));
            order.extend([&CHOICE, &FULL_LEVEL]);
            order.extend(reasons);
        }
        None if of_sessions(site) => {
            // What passes, or should, is asked of the session first.
            if site.path.traffic.latest().is_some() || site.path.name_resolved.latest().is_some() {
                order.extend([&SESSION_PARAMETERS, &NAME_SERVERS]);
            }
            order.extend(states.first());
            // A refused session is no wonder on a modem that is not attached.
            if opening_failed(site).is_some() || session_refused(site) {
                order.extend([&ATTACHED, &LAST_FAILURE]);
            }
            if site.sessions.contexts.iter().next().is_none() {
                order.push(&CONTEXTS);
            }
            order.extend([&SESSIONS, &ATTACHED, &LAST_FAILURE]);
        }
        None => {
            order.extend(states.first());
            order.extend([&LEVEL, &RADIO]);
            order.extend(&states);
            order.extend([&CHOICE, &CONTEXTS]);
        }
    }
    if !data_known(site) {
        order.extend(states);
    }
    if bare_errors(site).next().is_some() && !in_words(site) {
        order.push(&VERBOSE);
    }
    // What is left is ranked by how much it would settle.
    order.extend(*RANKED);
    order
}

/// The read of the level, where it is not known: the serving cell of a modem whose own command for it is known.
fn level(site: &Site<'_>, own: bool) -> Option<&'static Read> {
    if is_level_known(site) {
        return None;
    }
    Some(if own { &FULL_LEVEL } else { &LEVEL })
}

/// Whether somebody names the bands of the place, and those of the modem were not read.
fn bands_told(site: &Site<'_>) -> bool {
    let radio = &site.radio;
    let told = radio.network_bands.latest().is_some() || radio.heard_bands.latest().is_some();
    told && radio.enabled_bands.latest().is_none()
}

/// Whether a level was read, or was read and had no value.
fn is_level_known(site: &Site<'_>) -> bool {
    let levels = [Quantity::Rssi, Quantity::Rsrp, Quantity::Rscp, Quantity::Rxlev];
    levels.into_iter().any(|q| site.level(q).is_some())
}

/// Whether the state of the card is known and no read of the card failed since.
fn card_known(site: &Site<'_>) -> bool {
    let state = site.card.state.latest().filter(|o| o.value != Sim::Busy).map(|o| o.order);
    let Some(known) = state.max(site.card.imsi.latest().map(|o| o.order)) else { return false };
    let of_card = |o: &&Observation<Failure>| reads_card(&o.value.command);
    let outdated = site.dialogue.has_sent("+CPIN?") && !site.dialogue.shows("+CPIN?");
    !outdated && !site.exchanges.failures.all().iter().filter(of_card).any(|o| o.order > known)
}

/// Whether a command, without its `AT`, reads something of the card.
fn reads_card(command: &str) -> bool {
    let command = command.to_ascii_uppercase();
    ["+CCID", "+ICCID", "+QCCID", "+CIMI", "+CRSM"].iter().any(|c| command.starts_with(c))
}

/// Whether a dial or the activation of a context ended in an error.
fn session_refused(site: &Site<'_>) -> bool {
    let of_session = |o: &Observation<Failure>| {
        let command = o.value.command.to_ascii_uppercase();
        ["+CGACT=1", "+CGDATA", "D*99", "DT*99"].iter().any(|c| command.starts_with(c))
    };
    site.exchanges.failures.current().iter().any(of_session)
        || site.sessions.no_carrier.latest().is_some()
}

/// Whether the text is about data sessions: one was tried, or something was sent over one.
fn of_sessions(site: &Site<'_>) -> bool {
    let sessions = &site.sessions;
    let tried = sessions.opening.latest().is_some() || sessions.no_carrier.latest().is_some();
    let failed = |o: &Observation<Failure>| {
        ["+CGDCONT", "+CGACT", "+CGDATA", "+CGPADDR", "D*99"]
            .iter()
            .any(|c| o.value.command.starts_with(c))
    };
    tried
        || site.path.traffic.latest().is_some()
        || sessions.contexts.iter().next().is_some()
        || site.exchanges.failures.all().iter().any(failed)
}

/// The groups that are asked when nothing else is more telling, by how much they would settle a second.
static RANKED: LazyLock<[&'static Read; 8]> = LazyLock::new(|| {
    let mut all = [&CARD, &RADIO, &CHOICE, &LEVEL, &CONTEXTS, &ATTACHED, &IDENTITY, &USAGE];
    all.sort_by_key(|read| std::cmp::Reverse(gain(read)));
    all
});

/// How much of the trouble that is common a group would settle, a second.
fn gain(read: &Read) -> u16 {
    let settles = rules::all().filter(|rule| rule.settled_by.contains(&read));
    settles.map(|rule| u16::from(rule.commonness)).sum::<u16>() / read.seconds
}

/// Whether the modem was seen searching more than once in one domain.
fn endless(site: &Site<'_>) -> bool {
    let twice = |states: &History<Registration>| {
        states
            .all()
            .iter()
            .filter(|o: &&Observation<Registration>| {
                o.value.status() == RegistrationStatus::Searching
            })
            .nth(1)
            .is_some()
    };
    site.registration.states.values().any(twice)
}
