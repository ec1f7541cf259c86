//! What to ask next: the reads that would settle what is still open, most telling first.

use super::Judged;
use super::commonness::weight;
use crate::case::Observation;
use crate::reply::{Registration, Sim, dialect};
use crate::rules::{
    Certainty, Judgement, Rule, Site, Standing, data_known, data_registered, standing,
};
use std::sync::OnceLock;

/// A question to the modem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// The commands, in order; safe to paste as one block.
    pub commands: Vec<String>,
    /// What they would tell.
    pub why: String,
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
}

const ALIVE: Read = Read {
    commands: &["AT", "ATI"],
    why: "whether anything answers on the port, and what it is",
    settles: &["host/"],
    seconds: 1,
};

const REASON: Read = Read {
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
};

const SESSION_REASON: Read = Read {
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
};

const STATES: Read = Read {
    commands: &["AT+CEREG?", "AT+CGREG?", "AT+CREG?"],
    why: "whether the modem is registered, in each of the three domains",
    settles: &[
        "registration/idle",
        "registration/searching",
        "registration/denied",
        "registration/emergency",
    ],
    seconds: 1,
};

const CARD: Read = Read {
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
};

const LEVEL: Read = Read {
    commands: &["AT+CSQ", "AT+CESQ"],
    why: "whether a cell is heard, and how well",
    settles: &["radio/no-signal", "radio/weak", "radio/poor-quality", "radio/antenna"],
    seconds: 1,
};

const CHOICE: Read = Read {
    commands: &["AT+COPS?"],
    why: "which network is in use, and whether it is chosen by hand",
    settles: &["registration/manual", "registration/idle"],
    seconds: 1,
};

const CONTEXTS: Read = Read {
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
};

const ATTACHED: Read = Read {
    commands: &["AT+CGATT?"],
    why: "whether the modem is attached for packet data",
    settles: &["registration/detached"],
    seconds: 1,
};

const RADIO: Read = Read {
    commands: &["AT+CFUN?"],
    why: "whether the radio is switched on",
    settles: &["device/radio-off"],
    seconds: 1,
};

const TRIES: Read = Read {
    commands: &["AT+CPINR"],
    why: "how many PIN tries are left, before one is used",
    settles: &["card/pin-attempts-low"],
    seconds: 1,
};

const IDENTITY: Read = Read {
    commands: &["AT+CIMI", "AT+CRSM=176,28539,0,0,12"],
    why: "the card's home network, and the networks that the card keeps away from",
    settles: &["card/forbidden-list", "registration/roaming"],
    seconds: 1,
};

const TECHNOLOGY: Read = Read {
    commands: &["AT+WS46?"],
    why: "which radio technologies and bands the settings allow",
    settles: &["radio/technology", "radio/band-off", "radio/band-missing"],
    seconds: 1,
};

const USAGE: Read = Read {
    commands: &["AT+CEMODE?"],
    why: "whether the modem is set to put voice first",
    settles: &["registration/voice-centric"],
    seconds: 1,
};

const VERBOSE: Read = Read {
    commands: &["AT+CMEE=2"],
    why: "errors in words instead of a bare ERROR; then ask the same again",
    settles: &["card/not-detected", "card/failure", "device/not-ready"],
    seconds: 1,
};

const SEARCH: Read = Read {
    commands: &["AT+COPS=?"],
    why: "which networks are heard at all; takes minutes, and a working link drops meanwhile",
    settles: &["radio/no-signal", "radio/band-off", "radio/technology"],
    seconds: 180,
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
    let mut asks: Vec<Ask> = Vec::new();
    for read in order(site, aim) {
        let settles: Vec<_> = judged
            .iter()
            .filter(|j| aim.wants(j) && read.settles.iter().any(|s| covers(s, j.rule.id)))
            .map(|j| j.rule.id)
            .collect();
        let missing = in_dialect(site, read, unseen(site, read));
        if !missing.is_empty() && !settles.is_empty() && !asks.iter().any(|a| a.commands == missing)
        {
            asks.push(Ask {
                commands: missing,
                why: read.why.into(),
                settles,
                changes: false,
                seconds: read.seconds,
            });
        }
        if asks.len() == MOST {
            break;
        }
    }
    asks
}

fn covers(what: &str, id: &str) -> bool {
    what == id || what.ends_with('/') && id.starts_with(what)
}

/// The commands as this modem has them: its maker's own read of cell, bands or technologies where
/// the text shows which dialect it speaks.
fn in_dialect(site: &Site<'_>, read: &Read, mut commands: Vec<String>) -> Vec<String> {
    let Some(dialect) = dialect(site.seen.dialect_heads.iter().map(String::as_str)) else {
        return commands;
    };
    let seen = |command: &str| {
        let bare = command.trim_start_matches("AT");
        site.seen.requests.iter().any(|r| r.eq_ignore_ascii_case(bare))
    };
    let mut add = |command: Option<&'static str>| {
        if let Some(command) = command.filter(|c| !seen(c) && !commands.iter().any(|o| o == c)) {
            commands.push(command.into());
        }
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

/// Commands that ended in a bare `ERROR`, as sent, without `AT`.
fn bare_errors(site: &Site<'_>) -> Vec<String> {
    let bare =
        site.failures.all().iter().filter(|o| o.value.cme.is_none() && o.value.cms.is_none());
    bare.map(|o| o.value.command.clone()).filter(|c| !c.is_empty()).collect()
}

/// The commands of a group that the text does not show already.
fn unseen(site: &Site<'_>, read: &Read) -> Vec<String> {
    let seen = |command: &str| {
        let bare = command.trim_start_matches("AT");
        site.seen.requests.iter().any(|r| r.eq_ignore_ascii_case(bare))
            && !bare_errors(site).iter().any(|f| f.eq_ignore_ascii_case(bare))
    };
    let fresh: Vec<_> =
        read.commands.iter().filter(|c| !seen(c) || **c == "AT").map(|c| (*c).to_owned()).collect();
    // The reason is read again even where the plain state was: the first command makes it fuller.
    if read.commands.contains(&"AT+CEREG=3") && !seen("AT+CEREG=3") {
        return read.commands.iter().map(|c| (*c).to_owned()).collect();
    }
    fresh
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
    if !bare_errors(site).is_empty() && !in_words {
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
        let slow = Read { seconds: 2 * CARD.seconds, ..CARD };
        assert!((gain(&slow) * 2.0 - gain(&CARD)).abs() < 1e-9);
    }
}
