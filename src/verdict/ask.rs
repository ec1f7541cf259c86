//! What to ask next: the few reads that would settle most of what is still open, the decisive one first.
//!
//! The first block has at most three commands; what may be needed after it comes apart. Nothing is asked that the text
//! answers, that this modem refused, or that its system does not have.

use super::Judged;
use crate::case::Observation;
use crate::case::{Failure, Registration, Service, Sim};
use crate::reference::models::System;
use crate::response::VendorCommandSet;
use crate::rules::reads::{
    ALIVE, ATTACHED, CARD, CHOICE, CIRCUIT_STATE, CONTEXTS, EPS_STATE, FULL_LEVEL, IDENTITY,
    LAST_FAILURE, LEVEL, PACKET_STATE, RADIO, REASON, REASON_5G, SEARCH, SESSIONS, STATE_5G,
    TECHNOLOGY, USAGE, VERBOSE,
};
use crate::rules::{
    self, Certainty, Judgement, Layer, Read, RegistrationStatus, Rule, Site, VendorRead,
    data_known, data_registered,
};

/// A question to the modem, or to whoever is at it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// The commands, in order; safe to paste as one block. Empty for a question to a person.
    pub commands: Vec<&'static str>,
    /// The question to a person.
    pub question: Option<&'static str>,
    /// Why they are worth asking.
    pub why: &'static str,
    /// The rules that they would settle.
    pub settles: Vec<&'static str>,
    /// Whether they change something that lasts.
    pub changes: bool,
    /// How long an answer may take, in seconds.
    pub seconds: u16,
    /// Whether it is only worth asking if what comes before it was not enough.
    pub if_not_enough: bool,
}

/// So many commands are asked first.
const FIRST: usize = 3;

/// One further group of at most so many commands is named for the case that the first were not enough.
const FURTHER: usize = 2;

/// What the questions are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Aim {
    /// A cause was found: what could still lie below it.
    Below(&'static Rule),
    /// Healthy: what is not in the text and could still spoil it.
    Health(Certainty),
    /// Nothing was found yet.
    Cause,
}

impl Aim {
    /// Whether a rule is worth asking about, were it not settled.
    fn wants(self, rule: &'static Rule) -> bool {
        match self {
            Self::Below(root) => rule.explains(root) || root.known_first.contains(&rule),
            Self::Health(Certainty::Certain) => false,
            Self::Health(_) => matches!(rule.layer(), Layer::Bearer | Layer::Path),
            Self::Cause => true,
        }
    }
}

/// Whether a rule is still to be settled.
fn is_unsettled(j: &Judged) -> bool {
    matches!(j.judgement, Judgement::Open) || j.certainty() == Some(Certainty::Possible)
}

/// The questions for a site, the decisive one first.
pub(super) fn next(site: &Site<'_>, judged: &[Judged], aim: Aim) -> Vec<Ask> {
    // A cause that is only likely is itself worth another read.
    let likely_root =
        |j: &Judged| aim == Aim::Below(j.rule) && j.certainty() == Some(Certainty::Likely);
    let wanted: Vec<&'static Rule> = judged
        .iter()
        .filter(|j| is_unsettled(j) && aim.wants(j.rule) || likely_root(j))
        .map(|j| j.rule)
        .collect();
    let own = site.command_set();
    let follows_up = matches!(aim, Aim::Below(root) if !root.follow_up.is_empty());
    let (mut first, mut further): (Vec<Ask>, Vec<Ask>) = (Vec::new(), Vec::new());
    let mut asked = 0;
    for read in order(site, aim) {
        let settles: Vec<_> =
            wanted.iter().filter(|r| r.settled_by.contains(&read)).map(|r| r.id).collect();
        if settles.is_empty() && !follows_up {
            continue;
        }
        let known =
            |c: &&str| [&first, &further].iter().any(|l| l.iter().any(|a| a.commands.contains(c)));
        let mut commands = in_command_set(site, own, read, unseen(site, read));
        commands.retain(|c| !known(c));
        if commands.is_empty() {
            continue;
        }
        let ask = |commands, if_not_enough| Ask {
            commands,
            question: None,
            why: read.why,
            settles: settles.clone(),
            changes: false,
            seconds: read.seconds,
            if_not_enough,
        };
        // A search drops the link for minutes, so that nobody is asked for it first.
        if asked + commands.len() <= FIRST && *read != SEARCH {
            asked += commands.len();
            first.push(ask(commands, false));
        } else if commands.len() <= FURTHER && asked > 0 && further.is_empty() {
            further.push(ask(commands, true));
        }
    }
    first.extend(question(judged, aim));
    first.extend(further);
    first
}

/// The question to a person: that of the cause that was found, or of the likeliest that fits.
fn question(judged: &[Judged], aim: Aim) -> Option<Ask> {
    let rule = match aim {
        Aim::Below(root) => root,
        Aim::Health(_) => return None,
        Aim::Cause => judged.iter().find(|j| j.certainty() == Some(Certainty::Possible))?.rule,
    };
    Some(Ask {
        commands: Vec::new(),
        question: Some(rule.question?),
        why: rule.asks,
        settles: vec![rule.id],
        changes: false,
        seconds: 0,
        if_not_enough: false,
    })
}

/// The commands as this modem has them: its vendor's own read of cell, bands or technologies, if the text shows which
/// command set it has.
fn in_command_set(
    site: &Site<'_>,
    own: Option<&'static VendorCommandSet>,
    read: &Read,
    mut commands: Vec<&'static str>,
) -> Vec<&'static str> {
    let Some(own) = own else { return commands };
    let mut add = |read: VendorRead| {
        let command = read.command(own);
        commands.extend(command.filter(|c| !requested(site, c)));
    };
    if *read == FULL_LEVEL {
        commands.clear();
        if let Some(cell) = VendorRead::Cell.command(own).filter(|c| !requested(site, c)) {
            commands.push(cell);
        }
    } else if *read == TECHNOLOGY {
        add(VendorRead::Technology);
        add(VendorRead::Bands);
        // One command may read both.
        commands.dedup();
        if commands.len() > 1 {
            commands.retain(|c| *c != "AT+WS46?");
        }
    }
    commands
}

/// Whether the text shows that a command was sent.
fn requested(site: &Site<'_>, command: &str) -> bool {
    let bare = command.strip_prefix("AT").unwrap_or(command);
    site.dialogue.has_sent(bare)
}

/// Commands that ended in a bare `ERROR`, as sent, without `AT`.
fn bare_errors<'s>(site: &'s Site<'_>) -> impl Iterator<Item = &'s str> {
    let bare = site
        .exchanges
        .failures
        .all()
        .iter()
        .filter(|o| o.value.cme.is_none() && o.value.cms.is_none());
    bare.map(|o| o.value.command.as_str()).filter(|c| !c.is_empty())
}

/// A read that bears on the trouble and ended in a bare `ERROR`.
fn unexplained(site: &Site<'_>) -> Option<&'static str> {
    let same = |c: &&'static str| {
        let bare = c.strip_prefix("AT").unwrap_or(c);
        bare_errors(site).any(|f| f.eq_ignore_ascii_case(bare))
    };
    rules::all().flat_map(|r| r.settled_by).flat_map(|group| group.commands).copied().find(same)
}

/// Whether this modem refused a command, in any of its forms.
fn is_refused(site: &Site<'_>, command: &str) -> bool {
    let name = |c: &str| c.split(['?', '=']).next().unwrap_or(c).to_ascii_uppercase();
    let bare = name(command.strip_prefix("AT").unwrap_or(command));
    site.exchanges.failures.all().iter().any(|o| name(&o.value.command) == bare)
}

/// The commands of a group that the text does not show already and that this modem has.
fn unseen(site: &Site<'_>, read: &Read) -> Vec<&'static str> {
    // The command that failed without a reason is sent again once errors come in words.
    if *read == VERBOSE {
        return read.commands.iter().copied().chain(unexplained(site)).collect();
    }
    // The reject cause is read again even if the plain state was: the first command adds it.
    if [&REASON, &REASON_5G].contains(&read) {
        let (set, again) = (read.commands[0], read.commands[1]);
        let known = ["3", "5"].iter().any(|n| requested(site, &set.replace('3', n)));
        return if known || is_refused(site, again) { Vec::new() } else { read.commands.to_vec() };
    }
    read.commands
        .iter()
        .copied()
        .filter(|c| *c == "AT" || !requested(site, c) && !is_refused(site, c))
        .collect()
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

/// The reads of the reject cause in the system in use.
fn reasons(site: &Site<'_>) -> Vec<&'static Read> {
    match site.system() {
        Some(System::Gsm | System::Umts) => vec![&LAST_FAILURE],
        Some(System::Nr) => vec![&REASON_5G, &LAST_FAILURE],
        _ => vec![&REASON, &LAST_FAILURE],
    }
}

/// The groups in the order in which a good engineer would ask, by the registration status.
fn order(site: &Site<'_>, aim: Aim) -> Vec<&'static Read> {
    if let Aim::Below(root) = aim
        && !root.follow_up.is_empty()
    {
        return root.follow_up.to_vec();
    }
    if site.dialogue.answered == 0 && site.case.is_empty() {
        // A text without commands says nothing of the port.
        let port: &[&Read] = if site.dialogue.unanswered > 0 { &[&ALIVE] } else { &[] };
        return [port, &[&CARD, &EPS_STATE, &LEVEL, &LAST_FAILURE]].concat();
    }
    let card_known = site.card.state.latest().is_some_and(|o| o.value != Sim::Busy)
        || site.card.imsi.latest().is_some();
    let (states, reasons) = (states(site), reasons(site));
    let mut order: Vec<&'static Read> = Vec::with_capacity(20);
    let in_words = site.dialogue.commands().any(|r| r.starts_with("+CMEE="));
    if unexplained(site).is_some() && !in_words {
        order.push(&VERBOSE);
    }
    let limited = site.registration.service.latest().is_some_and(|o| o.value == Service::Limited);
    let status = site
        .registration_status()
        .map(|(s, _)| s)
        .or_else(|| limited.then_some(RegistrationStatus::Emergency));
    // Voice alone says nothing of data.
    if status.is_some() && !data_known(site) {
        order.extend(states.first());
    }
    if !card_known && !of_sessions(site) && !matches!(status, Some(RegistrationStatus::Registered))
    {
        order.push(&CARD);
    }
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
        Some(RegistrationStatus::Searching | RegistrationStatus::Unknown) => {
            // An endless search is often a refusal whose cause was not asked for.
            if endless(site) {
                order.extend(reasons);
                order.extend([&LEVEL, &FULL_LEVEL, &CHOICE]);
            } else {
                order.extend([&LEVEL, &FULL_LEVEL, &CHOICE]);
                order.extend(reasons);
            }
            order.extend([&TECHNOLOGY, &SEARCH, &USAGE, &IDENTITY]);
        }
        Some(RegistrationStatus::Idle) => {
            order.extend([&RADIO, &LEVEL, &CHOICE, &FULL_LEVEL]);
            order.extend(reasons);
        }
        None if of_sessions(site) => {
            order.extend(states.first());
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
    if bare_errors(site).next().is_some() && !in_words {
        order.push(&VERBOSE);
    }
    // What is left is ranked by how much it would settle.
    order.extend(ranked());
    order
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
fn ranked() -> [&'static Read; 8] {
    let mut all = [&CARD, &RADIO, &CHOICE, &LEVEL, &CONTEXTS, &ATTACHED, &IDENTITY, &USAGE];
    all.sort_by_key(|read| std::cmp::Reverse(gain(read)));
    all
}

/// How much of the trouble that is common a group would settle, a second.
fn gain(read: &Read) -> u16 {
    let settles = rules::all().filter(|rule| rule.settled_by.contains(&read));
    settles.map(|rule| u16::from(rule.commonness)).sum::<u16>() / read.seconds
}

/// Whether the modem was seen searching more than once in one domain.
fn endless(site: &Site<'_>) -> bool {
    let twice = |states: &crate::case::History<_>| {
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
