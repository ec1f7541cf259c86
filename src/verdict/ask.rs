//! What to ask next: the reads that would settle what is still open, most telling first.

use super::Judged;
use super::commonness::weight;
use crate::case::Observation;
use crate::reply::{Registration, Sim, dialect};
use crate::rules::{
    self, Certainty, Judgement, Rule, Site, Standing, data_known, data_registered, standing,
};
use std::sync::OnceLock;

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

/// A group of reads that belong together.
struct Read {
    commands: &'static [&'static str],
    why: &'static str,
    /// Rules that it settles, by id or by layer with a slash.
    settles: &'static [&'static str],
    seconds: u16,
    /// The same rules, once they were looked up.
    set: OnceLock<RuleSet>,
}

impl Read {
    fn set(&self) -> RuleSet {
        let covered = |rule: &Rule| self.settles.iter().any(|what| covers(what, rule.id));
        *self.set.get_or_init(|| RuleSet::of(rules::all().map(covered)))
    }
}

fn covers(what: &str, id: &str) -> bool {
    what == id || what.ends_with('/') && id.starts_with(what)
}

/// Some of all rules, a bit for each, in their order.
#[derive(Clone, Copy, Debug)]
struct RuleSet(u128);

const _: () = assert!(rules::COUNT <= 128, "a bit for each rule");

impl RuleSet {
    /// From whether each rule belongs to it, in the order of [`rules::all`].
    fn of(belongs: impl Iterator<Item = bool>) -> Self {
        Self(belongs.enumerate().fold(0, |set, (at, yes)| set | u128::from(yes) << at))
    }

    /// The places of the rules that both hold, in order.
    fn both(self, other: Self) -> impl Iterator<Item = usize> {
        let mut left = self.0 & other.0;
        std::iter::from_fn(move || {
            let at = (left != 0).then(|| left.trailing_zeros() as usize)?;
            left &= left - 1;
            Some(at)
        })
    }
}

static ALIVE: Read = Read {
    commands: &["AT", "ATI"],
    why: "whether anything answers on the port, and what it is",
    settles: &["host/"],
    seconds: 1,
    set: OnceLock::new(),
};

static REASON: Read = Read {
    commands: &["AT+CEREG=3", "AT+CEREG?", "AT+CEER"],
    why: "the network's own reason for refusing, as a number (the first command only switches the fuller report on)",
    settles: &[
        "registration/subscriber",
        "registration/equipment",
        "registration/network",
        "registration/area",
        "registration/roaming",
        "registration/authentication",
        "registration/attach-bearer",
        "registration/network-trouble",
        "bearer/apn-unknown",
        "bearer/pdn-type",
        "bearer/credentials",
        "bearer/not-subscribed",
    ],
    seconds: 2,
    set: OnceLock::new(),
};

static SESSION_REASON: Read = Read {
    commands: &["AT+CEER"],
    why: "the reason of the last failure, if it is read right after it",
    settles: &[
        "bearer/apn-unknown",
        "bearer/pdn-type",
        "bearer/credentials",
        "bearer/not-subscribed",
        "bearer/network-refused",
    ],
    seconds: 1,
    set: OnceLock::new(),
};

static STATES: Read = Read {
    commands: &["AT+CEREG?", "AT+CGREG?", "AT+CREG?"],
    why: "whether the modem is registered, in each of the three domains",
    settles: &[
        "registration/idle",
        "registration/searching",
        "registration/denied",
        "registration/emergency",
    ],
    seconds: 1,
    set: OnceLock::new(),
};

static CARD: Read = Read {
    commands: &["AT+CPIN?"],
    why: "whether the SIM is seen, and waits for nothing",
    settles: &[
        "card/not-detected",
        "card/failure",
        "card/pin-required",
        "card/puk-required",
        "card/lock",
        "card/no-profile",
        "device/not-ready",
    ],
    seconds: 1,
    set: OnceLock::new(),
};

static LEVEL: Read = Read {
    commands: &["AT+CSQ", "AT+CESQ"],
    why: "whether a cell is heard, and how well",
    settles: &["radio/no-signal", "radio/weak", "radio/poor-quality", "radio/antenna"],
    seconds: 1,
    set: OnceLock::new(),
};

static CHOICE: Read = Read {
    commands: &["AT+COPS?"],
    why: "which network is in use, and whether it is chosen by hand",
    settles: &["registration/manual", "registration/idle"],
    seconds: 1,
    set: OnceLock::new(),
};

static CONTEXTS: Read = Read {
    commands: &["AT+CGDCONT?", "AT+CGACT?", "AT+CGPADDR"],
    why: "which access point names are stored, whether a session is open, and its address",
    settles: &[
        "bearer/apn-blank",
        "bearer/apn-mismatch",
        "bearer/inactive",
        "bearer/wrong-context",
        "path/no-address",
    ],
    seconds: 1,
    set: OnceLock::new(),
};

static ATTACHED: Read = Read {
    commands: &["AT+CGATT?"],
    why: "whether the modem is attached for packet data",
    settles: &["registration/detached"],
    seconds: 1,
    set: OnceLock::new(),
};

static RADIO: Read = Read {
    commands: &["AT+CFUN?"],
    why: "whether the radio is switched on",
    settles: &["device/radio-off"],
    seconds: 1,
    set: OnceLock::new(),
};

static TRIES: Read = Read {
    commands: &["AT+CPINR"],
    why: "how many PIN tries are left, before one is used",
    settles: &["card/pin-attempts-low"],
    seconds: 1,
    set: OnceLock::new(),
};

static IDENTITY: Read = Read {
    commands: &["AT+CIMI", "AT+CRSM=176,28539,0,0,12"],
    why: "the card's home network, and the networks that the card keeps away from",
    settles: &["card/forbidden-list", "registration/roaming"],
    seconds: 1,
    set: OnceLock::new(),
};

static TECHNOLOGY: Read = Read {
    commands: &["AT+WS46?"],
    why: "which radio technologies and bands the settings allow",
    settles: &["radio/technology", "radio/band-off", "radio/band-missing"],
    seconds: 1,
    set: OnceLock::new(),
};

static USAGE: Read = Read {
    commands: &["AT+CEMODE?"],
    why: "whether the modem is set to put voice first",
    settles: &["registration/voice-centric"],
    seconds: 1,
    set: OnceLock::new(),
};

static VERBOSE: Read = Read {
    commands: &["AT+CMEE=2"],
    why: "errors in words instead of a bare ERROR; then ask the same again",
    settles: &["card/not-detected", "card/failure", "device/not-ready"],
    seconds: 1,
    set: OnceLock::new(),
};

static SEARCH: Read = Read {
    commands: &["AT+COPS=?"],
    why: "which networks are heard at all; takes minutes, and a working link drops meanwhile",
    settles: &["radio/no-signal", "radio/band-off", "radio/technology"],
    seconds: 180,
    set: OnceLock::new(),
};

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
    fn wants(self, j: &Judged) -> bool {
        let unsettled =
            matches!(j.judgement, Judgement::Open) || j.certainty() == Some(Certainty::Possible);
        unsettled
            && match self {
                Self::Below(root) => j.rule.explains(root.id) || goes_with(root.id, j.rule.id),
                Self::Health(certainty) => {
                    certainty < Certainty::Certain && matches!(j.rule.layer(), "bearer" | "path")
                }
                Self::Cause => true,
            }
    }
}

/// What must be known before the root is acted on, though it is no deeper cause.
fn goes_with(root: &str, id: &str) -> bool {
    matches!((root, id), ("card/pin-required" | "card/puk-required", "card/pin-attempts-low"))
}

/// The questions for a site, most telling and cheapest first.
pub(super) fn next(site: &Site<'_>, judged: &[Judged], aim: Aim) -> Vec<Ask> {
    let wanted = RuleSet::of(judged.iter().map(|j| aim.wants(j)));
    let mut asks: Vec<Ask> = Vec::new();
    for read in order(site, aim) {
        let settles: Vec<_> = wanted.both(read.set()).map(|at| judged[at].rule.id).collect();
        if settles.is_empty() {
            continue;
        }
        let commands = in_dialect(site, read, unseen(site, read));
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
fn in_dialect(site: &Site<'_>, read: &Read, mut commands: Vec<&'static str>) -> Vec<&'static str> {
    let Some(dialect) = dialect(site.seen.dialect_heads.iter().map(String::as_str)) else {
        return commands;
    };
    let mut add = |command: Option<&'static str>| {
        commands.extend(command.filter(|c| !requested(site, c) && !commands.contains(c)));
    };
    if read.commands == LEVEL.commands {
        add(Some(dialect.cell));
        add(dialect.branches);
    } else if read.commands == TECHNOLOGY.commands {
        add(dialect.technology);
        add(dialect.bands);
    }
    commands
}

/// Whether the text shows that a command was sent.
fn requested(site: &Site<'_>, command: &str) -> bool {
    let bare = command.trim_start_matches("AT");
    site.seen.requests.iter().any(|r| r.eq_ignore_ascii_case(bare))
}

/// Commands that ended in a bare `ERROR`, as sent, without `AT`.
fn bare_errors<'s>(site: &'s Site<'_>) -> impl Iterator<Item = &'s str> {
    let bare =
        site.failures.all().iter().filter(|o| o.value.cme.is_none() && o.value.cms.is_none());
    bare.map(|o| o.value.command.as_str()).filter(|c| !c.is_empty())
}

/// The commands of a group that the text does not show already.
fn unseen(site: &Site<'_>, read: &Read) -> Vec<&'static str> {
    let seen = |command: &str| {
        let bare = command.trim_start_matches("AT");
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
    if let Aim::Below(root) = aim {
        match root.layer() {
            "card" => return vec![&CARD, &TRIES, &VERBOSE, &IDENTITY],
            "bearer" => return vec![&SESSION_REASON, &CONTEXTS, &ATTACHED],
            _ if root.id == "registration/attach-bearer" => {
                return vec![&SESSION_REASON, &CONTEXTS];
            }
            _ => {}
        }
    }
    if site.seen.answered == 0 && site.case.is_empty() {
        return vec![&ALIVE, &CARD, &STATES, &LEVEL];
    }
    let card_known =
        site.sim.latest().is_some_and(|o| o.value != Sim::Busy) || site.imsi.latest().is_some();
    let mut order: Vec<&'static Read> = Vec::new();
    match standing(site).map(|(s, _)| s) {
        Some(Standing::Denied) => order.extend([&REASON, &CONTEXTS, &CHOICE, &IDENTITY]),
        Some(Standing::Registered) if data_registered(site).is_some() => {
            order.extend([&CONTEXTS, &ATTACHED, &SESSION_REASON, &LEVEL]);
        }
        Some(Standing::Registered | Standing::ShortMessages) => {
            order.extend([&STATES, &ATTACHED, &CONTEXTS, &REASON]);
        }
        Some(Standing::Searching | Standing::Unknown | Standing::Emergency) => {
            if !card_known {
                order.push(&CARD);
            }
            // An endless search is often a refusal whose reason was not asked for.
            let first = if endless(site) { [&REASON, &LEVEL] } else { [&LEVEL, &REASON] };
            order.extend(first);
            order.extend([&CHOICE, &TECHNOLOGY, &SEARCH, &USAGE, &IDENTITY]);
        }
        Some(Standing::Idle) => {
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
    let in_words = site.seen.requests.iter().any(|r| r.starts_with("+CMEE="));
    if bare_errors(site).next().is_some() && !in_words {
        order.insert(0, &VERBOSE);
    }
    // Voice alone says nothing of data.
    if standing(site).is_some() && !data_known(site) {
        order.insert(0, &STATES);
    }
    // What is left is ranked by how much it would settle.
    for &read in ranked() {
        if !order.iter().any(|r| r.commands == read.commands) {
            order.push(read);
        }
    }
    order
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
    site.registration.values().any(twice)
}

/// The groups that are asked when nothing else is more telling, by how much they would settle.
fn ranked() -> &'static [&'static Read] {
    static RANKED: OnceLock<Vec<&'static Read>> = OnceLock::new();
    RANKED.get_or_init(|| {
        let mut all: Vec<&'static Read> =
            vec![&CARD, &RADIO, &CHOICE, &LEVEL, &CONTEXTS, &ATTACHED, &IDENTITY, &USAGE];
        all.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
        all
    })
}

fn gain(read: &Read) -> f64 {
    read.settles.iter().map(|id| weight(id)).sum::<f64>() / f64::from(read.seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_groups_left_over_come_by_what_they_settle_a_second() {
        assert!(ranked().windows(2).all(|pair| gain(pair[0]) >= gain(pair[1])));
        let Read { commands, why, settles, seconds, .. } = CARD;
        let slow = Read { commands, why, settles, seconds: 2 * seconds, set: OnceLock::new() };
        assert!((gain(&slow) * 2.0 - gain(&CARD)).abs() < 1e-9);
    }
}
