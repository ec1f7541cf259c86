//! The groups of reads that a modem is asked together, and the rules that each would settle.

use super::commonness::weight;
use crate::rules::{self, Rule};
use std::sync::OnceLock;

/// A group of reads that belong together.
pub(super) struct Read {
    pub(super) commands: &'static [&'static str],
    pub(super) why: &'static str,
    /// Rules that it settles, by id or by layer with a slash.
    pub(super) settles: &'static [&'static str],
    pub(super) seconds: u16,
    /// The same rules, once they were looked up.
    set: OnceLock<RuleSet>,
}

impl Read {
    /// The rules that it settles.
    pub(super) fn set(&self) -> RuleSet {
        let covered = |rule: &Rule| self.settles.iter().any(|what| covers(what, rule.id));
        *self.set.get_or_init(|| RuleSet::of(rules::all().map(covered)))
    }
}

fn covers(what: &str, id: &str) -> bool {
    what == id || what.ends_with('/') && id.starts_with(what)
}

/// Some of all rules, a bit for each, in their order.
#[derive(Clone, Copy, Debug)]
pub(super) struct RuleSet(u128);

const _: () = assert!(rules::COUNT <= 128, "a bit for each rule");

impl RuleSet {
    /// From whether each rule belongs to it, in the order of [`rules::all`].
    pub(super) fn of(belongs: impl Iterator<Item = bool>) -> Self {
        Self(belongs.enumerate().fold(0, |set, (at, yes)| set | u128::from(yes) << at))
    }

    /// None of them.
    pub(super) const fn none() -> Self {
        Self(0)
    }

    /// All of them.
    pub(super) const fn every() -> Self {
        Self(u128::MAX)
    }

    /// Those that both hold.
    pub(super) const fn both(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// Whether it holds none.
    pub(super) const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many it holds.
    pub(super) const fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    /// The places of the rules in it, in order.
    pub(super) fn places(self) -> impl Iterator<Item = usize> {
        let mut left = self.0;
        std::iter::from_fn(move || {
            let at = (left != 0).then(|| left.trailing_zeros() as usize)?;
            left &= left - 1;
            Some(at)
        })
    }
}

pub(super) static ALIVE: Read = Read {
    commands: &["AT", "ATI"],
    why: "whether anything answers on the port, and what it is",
    settles: &["host/"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static REASON: Read = Read {
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

pub(super) static SESSION_REASON: Read = Read {
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

pub(super) static STATES: Read = Read {
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

pub(super) static CARD: Read = Read {
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

pub(super) static LEVEL: Read = Read {
    commands: &["AT+CSQ", "AT+CESQ"],
    why: "whether a cell is heard, and how well",
    settles: &["radio/no-signal", "radio/weak", "radio/poor-quality", "radio/antenna"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static CHOICE: Read = Read {
    commands: &["AT+COPS?"],
    why: "which network is in use, and whether it is chosen by hand",
    settles: &["registration/manual", "registration/idle"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static CONTEXTS: Read = Read {
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

pub(super) static ATTACHED: Read = Read {
    commands: &["AT+CGATT?"],
    why: "whether the modem is attached for packet data",
    settles: &["registration/detached"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static RADIO: Read = Read {
    commands: &["AT+CFUN?"],
    why: "whether the radio is switched on",
    settles: &["device/radio-off"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static TRIES: Read = Read {
    commands: &["AT+CPINR"],
    why: "how many PIN tries are left, before one is used",
    settles: &["card/pin-attempts-low"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static IDENTITY: Read = Read {
    commands: &["AT+CIMI", "AT+CRSM=176,28539,0,0,12"],
    why: "the card's home network, and the networks that the card keeps away from",
    settles: &["card/forbidden-list", "registration/roaming"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static TECHNOLOGY: Read = Read {
    commands: &["AT+WS46?"],
    why: "which radio technologies and bands the settings allow",
    settles: &["radio/technology", "radio/band-off", "radio/band-missing"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static USAGE: Read = Read {
    commands: &["AT+CEMODE?"],
    why: "whether the modem is set to put voice first",
    settles: &["registration/voice-centric"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static VERBOSE: Read = Read {
    commands: &["AT+CMEE=2"],
    why: "errors in words instead of a bare ERROR; then ask the same again",
    settles: &["card/not-detected", "card/failure", "device/not-ready"],
    seconds: 1,
    set: OnceLock::new(),
};

pub(super) static SEARCH: Read = Read {
    commands: &["AT+COPS=?"],
    why: "which networks are heard at all; takes minutes, and a working link drops meanwhile",
    settles: &["radio/no-signal", "radio/band-off", "radio/technology"],
    seconds: 180,
    set: OnceLock::new(),
};

/// The groups that are asked when nothing else is more telling, by how much they would settle.
pub(super) fn ranked() -> &'static [&'static Read] {
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
