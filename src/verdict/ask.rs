//! What to ask next: the reads that would settle what is still open, most telling first.

use super::Judged;
use crate::case::Observation;
use crate::case::{Registration, Sim};
use crate::response::{VendorCommandSet, command_set};
use crate::rules::reads::{
    ALIVE, ATTACHED, CARD, CHOICE, CONTEXTS, IDENTITY, LEVEL, RADIO, REASON, SEARCH,
    SESSION_REASON, STATES, TECHNOLOGY, USAGE, VERBOSE,
};
use crate::rules::{
    self, Certainty, Judgement, Layer, Read, RegistrationStatus, Rule, Site, VendorRead,
    data_known, data_registered,
};

/// A question to the modem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// The commands, in order; safe to paste as one block.
    pub commands: Vec<&'static str>,
    /// What they would tell.
    pub why: &'static str,
    /// The rules that they would settle.
    pub settles: Vec<&'static str>,
    /// Whether they change something that lasts.
    pub changes: bool,
    /// How long an answer may take, in seconds.
    pub seconds: u16,
}

/// At most so many are asked at once.
const MOST: usize = 5;

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

/// The questions for a site, most telling and cheapest first.
pub(super) fn next(site: &Site<'_>, judged: &[Judged], aim: Aim) -> Vec<Ask> {
    let wanted: Vec<&'static Rule> =
        judged.iter().filter(|j| is_unsettled(j) && aim.wants(j.rule)).map(|j| j.rule).collect();
    let own = command_set(site.dialogue.vendor_prefixes.iter().map(String::as_str));
    let mut asks: Vec<Ask> = Vec::with_capacity(MOST);
    for read in order(site, aim) {
        let settles: Vec<_> =
            wanted.iter().filter(|r| r.settled_by.contains(&read)).map(|r| r.id).collect();
        if settles.is_empty() {
            continue;
        }
        let commands = in_dialect(site, own, read, unseen(site, read));
        if !commands.is_empty() && !asks.iter().any(|a| a.commands == commands) {
            let seconds = read.seconds;
            asks.push(Ask { commands, why: read.why, settles, changes: false, seconds });
        }
        if asks.len() == MOST {
            break;
        }
    }
    asks
}

/// The commands as this modem has them: its maker's own read of cell, bands or technologies where
/// the text shows which dialect it speaks.
fn in_dialect(
    site: &Site<'_>,
    own: Option<&'static VendorCommandSet>,
    read: &Read,
    mut commands: Vec<&'static str>,
) -> Vec<&'static str> {
    let Some(dialect) = own else { return commands };
    let mut add = |command: Option<&'static str>| {
        commands.extend(command.filter(|c| !requested(site, c) && !commands.contains(c)));
    };
    if *read == LEVEL {
        add(VendorRead::Cell.command(dialect));
        add(VendorRead::Branches.command(dialect));
    } else if *read == TECHNOLOGY {
        add(VendorRead::Technology.command(dialect));
        add(VendorRead::Bands.command(dialect));
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

/// The commands of a group that the text does not show already.
fn unseen(site: &Site<'_>, read: &Read) -> Vec<&'static str> {
    let seen = |command: &str| {
        let bare = command.strip_prefix("AT").unwrap_or(command);
        requested(site, command) && !bare_errors(site).any(|f| f.eq_ignore_ascii_case(bare))
    };
    // The reason is read again even where the plain state was: the first command makes it fuller.
    if read.commands.contains(&"AT+CEREG=3") && !seen("AT+CEREG=3") {
        return read.commands.to_vec();
    }
    read.commands.iter().copied().filter(|c| !seen(c) || *c == "AT").collect()
}

/// The groups in the order in which a good engineer would ask, for where the modem stands.
fn order(site: &Site<'_>, aim: Aim) -> Vec<&'static Read> {
    if let Aim::Below(root) = aim
        && !root.follow_up.is_empty()
    {
        return root.follow_up.to_vec();
    }
    if site.dialogue.answered == 0 && site.case.is_empty() {
        return vec![&ALIVE, &CARD, &STATES, &LEVEL];
    }
    let card_known = site.card.state.latest().is_some_and(|o| o.value != Sim::Busy)
        || site.card.imsi.latest().is_some();
    let mut order: Vec<&'static Read> = Vec::with_capacity(16);
    match site.registration_status().map(|(s, _)| s) {
        Some(RegistrationStatus::Denied) => order.extend([&REASON, &CONTEXTS, &CHOICE, &IDENTITY]),
        Some(RegistrationStatus::Registered) if data_registered(site).is_some() => {
            order.extend([&CONTEXTS, &ATTACHED, &SESSION_REASON, &LEVEL]);
        }
        Some(RegistrationStatus::Registered | RegistrationStatus::ShortMessages) => {
            order.extend([&STATES, &ATTACHED, &CONTEXTS, &REASON]);
        }
        Some(
            RegistrationStatus::Searching
            | RegistrationStatus::Unknown
            | RegistrationStatus::Emergency,
        ) => {
            if !card_known {
                order.push(&CARD);
            }
            // An endless search is often a refusal whose reason was not asked for.
            let first = if endless(site) { [&REASON, &LEVEL] } else { [&LEVEL, &REASON] };
            order.extend(first);
            order.extend([&CHOICE, &TECHNOLOGY, &SEARCH, &USAGE, &IDENTITY]);
        }
        Some(RegistrationStatus::Idle) => {
            if !card_known {
                order.push(&CARD);
            }
            order.extend([&RADIO, &CHOICE, &REASON, &LEVEL, &STATES]);
        }
        None => {
            if !card_known {
                order.push(&CARD);
            }
            order.extend([&STATES, &LEVEL, &RADIO, &CONTEXTS, &CHOICE]);
        }
    }
    let in_words = site.dialogue.commands().any(|r| r.starts_with("+CMEE="));
    if bare_errors(site).next().is_some() && !in_words {
        order.insert(0, &VERBOSE);
    }
    // Voice alone says nothing of data.
    if site.registration_status().is_some() && !data_known(site) {
        order.insert(0, &STATES);
    }
    // What is left is ranked by how much it would settle.
    for read in ranked() {
        if !order.contains(&read) {
            order.push(read);
        }
    }
    order
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
            .filter(|o: &&Observation<Registration>| o.value.stat == 2)
            .nth(1)
            .is_some()
    };
    site.registration.states.values().any(twice)
}
