//! Whether hardware should come back: what must be tried first, in the trade's order, and how far
//! the text shows that it was. Common practice, no source.

use super::{Finding, Judged, Verdict};
use crate::case::{Case, Evidence, ReportedBy};
use crate::caution::{ANTENNA, SUPPLY};
use crate::rules::{self, Acts, Certainty, Judgement, Layer};
use schemars::JsonSchema;
use serde::Serialize;
use strum::IntoStaticStr;

/// How far a check has come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// Done, and nothing wrong there.
    Clear(Option<Evidence>),
    /// Done, and the trouble is there.
    Found(Evidence),
    /// Done and nothing wrong there, by the word of whoever asks; the text does not show it.
    Reported,
    /// Not shown by the text.
    Open,
}

impl State {
    /// The word for it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Clear(_) => "clear",
            Self::Found(_) => "trouble",
            Self::Reported => "told",
            Self::Open => "open",
        }
    }
}

/// One check before a return.
#[derive(Clone, Debug)]
pub struct Check {
    /// Its short name.
    pub name: &'static str,
    /// What is checked.
    pub what: &'static str,
    /// How to do it.
    pub how: &'static str,
    /// How far it has come.
    pub state: State,
    /// Whether a fault found here lies in the hardware.
    pub hardware: bool,
    /// A caution that belongs beside it.
    pub caution: Option<&'static str>,
}

/// Whether a return is justified by what is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, IntoStaticStr, Serialize, JsonSchema)]
#[strum(serialize_all = "kebab-case")]
#[serde(rename_all = "kebab-case")]
pub enum Advice {
    /// The device works, or the cause lies outside of it.
    No,
    /// Checks are left that could still clear the device.
    NotYet,
    /// What could be tried was tried.
    Yes,
}

impl Advice {
    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// The checks and what follows from them.
#[derive(Clone, Debug)]
pub struct Decision {
    /// The checks in order.
    pub checks: Vec<Check>,
    /// What follows.
    pub advice: Advice,
    /// One sentence for the customer's technician.
    pub sentence: String,
    /// One sentence for the maker's desk.
    pub for_the_maker: String,
}

/// The short names of the checks, in their order.
pub const NAMES: [&str; 12] = [
    "parts",
    "supply",
    "port",
    "power-off",
    "defaults",
    "firmware",
    "card",
    "swap",
    "radio",
    "antenna",
    "settings",
    "subscription",
];

/// Goes through the checks; those whose names stand in `tried` were made outside of the text and
/// found nothing.
pub fn decide(case: &Case, verdict: &Verdict, tried: &[String]) -> Decision {
    let of = |check: rules::Check| of_check(verdict, check);
    let mut checks = vec![
        check(
            "The right parts are there: the device as ordered, its own supply, antennas and card holder, no transport damage",
            "Compare with the packing list and look the case over.",
            State::Open,
            true,
        ),
        Check {
            caution: Some(SUPPLY),
            ..check(
                "The supply holds under load",
                "Measure at the device while it transmits; try a second supply.",
                of(rules::Check::Supply),
                true,
            )
        },
        check(
            "The port and its cable work",
            "Try another cable, another socket and another computer.",
            answered(case).map_or_else(|| of(rules::Check::Port), |e| State::Clear(Some(e))),
            true,
        ),
        check(
            "The modem was off for ten seconds and had some minutes to start",
            "Switch the supply off, wait ten seconds, switch on, wait five minutes.",
            restarted(case),
            false,
        ),
        check(
            "Settings were put back to those of delivery",
            "Save the settings, then reset them; a card, a port or a radio that a setting holds back comes back.",
            reset(case),
            false,
        ),
        check(
            "The firmware is known and is not an old one",
            "Read it and compare with the maker's list.",
            State::Open,
            false,
        ),
        check(
            "The card is seen and read",
            "Reseat it with the supply off; look at form, side, adapter and holder.",
            of_card(verdict, case),
            true,
        ),
        check(
            "Another card was tried in this device, and this card in another device",
            "Swap once each way; whichever fails twice is at fault.",
            swapped(case),
            false,
        ),
        check("The radio is on", "Read the functionality level.", of(rules::Check::Radio), false),
        Check {
            caution: Some(ANTENNA),
            ..check(
                "The antenna is on the right connector and a level is measured",
                "Swap antenna and cable; read the level again.",
                of(rules::Check::Antenna),
                true,
            )
        },
        check(
            "Bands, technologies and network choice fit the place",
            "Read the settings and compare with the carrier.",
            of(rules::Check::Settings),
            false,
        ),
        check(
            "Subscription and access point are not the reason",
            "Ask the carrier for the network's own reason, by the card's number.",
            network(verdict),
            false,
        ),
    ];
    let mut contradicted = Vec::new();
    for (check, name) in checks.iter_mut().zip(NAMES) {
        check.name = name;
        match check.state {
            State::Open if tried.iter().any(|t| t == name) => check.state = State::Reported,
            State::Found(_) if tried.iter().any(|t| t == name) => contradicted.push(name),
            _ => {}
        }
    }
    let (advice, mut sentence) = advise(verdict, &checks);
    for name in contradicted {
        let words = format!(
            " `{name}` was named as tried without a fault, and the text shows trouble there: make that check again."
        );
        sentence.push_str(&words);
    }
    let done = checks.iter().filter(|c| c.state != State::Open).count();
    let for_the_maker = format!(
        "Known before the return: {} ({}); {done} of {} checks are done{}.",
        verdict.summary.trim_end_matches('.'),
        verdict.id(),
        checks.len(),
        match checks.iter().filter(|c| c.state == State::Reported).count() {
            0 => String::new(),
            reported => format!(", {reported} of them by word alone"),
        }
    );
    Decision { checks, advice, sentence, for_the_maker }
}

const fn check(what: &'static str, how: &'static str, state: State, hardware: bool) -> Check {
    Check { name: "", what, how, state, hardware, caution: None }
}

fn advise(verdict: &Verdict, checks: &[Check]) -> (Advice, String) {
    if matches!(verdict.finding, Finding::Connected { .. }) {
        return (Advice::No, "No return: the device is connected and works.".into());
    }
    let root = verdict.root().filter(|r| r.certainty() >= Some(Certainty::Likely));
    if let Some(root) =
        root.filter(|r| matches!(r.rule.acts, Acts::Carrier | Acts::AccountHolder | Acts::Nobody))
    {
        let who = if root.rule.acts == Acts::Nobody {
            "time".into()
        } else {
            root.rule.acts.words().to_owned()
        };
        return (
            Advice::No,
            format!("No return: what is wrong does not lie in the device. It needs {who}."),
        );
    }
    // A permission, a code or a session setting is no fault of the hardware; a search or a weak signal may be one.
    let outside = |r: &&Judged| {
        matches!(r.rule.layer(), Layer::Host | Layer::Card | Layer::Bearer | Layer::Path)
            && r.rule.acts == Acts::Installer
            && r.rule.check.is_none()
    };
    if let Some(root) = root.filter(outside) {
        let step = root.remedies.first();
        let step = step.map_or("", |a| a.text);
        return (
            Advice::No,
            format!("No return: what is wrong does not lie in the hardware. {step}"),
        );
    }
    let found_elsewhere = checks.iter().find(|c| !c.hardware && matches!(c.state, State::Found(_)));
    if let Some(check) = found_elsewhere {
        return (Advice::No, format!("No return yet: a setting explains it. {}", check.how));
    }
    let open: Vec<_> = checks.iter().filter(|c| c.state == State::Open).collect();
    let found = checks.iter().any(|c| c.hardware && matches!(c.state, State::Found(_)));
    match (found, open.first()) {
        (true, None) => (
            Advice::Yes,
            "A return is justified: the fault lies in the hardware, and everything else was tried."
                .into(),
        ),
        (_, Some(first)) => (
            Advice::NotYet,
            format!(
                "No return yet: {} of {} checks are still open. Next: {}",
                open.len(),
                checks.len(),
                first.how
            ),
        ),
        // Without a fault in the text nothing shows that one is left.
        (false, None) if matches!(verdict.finding, Finding::Unclear) => (
            Advice::NotYet,
            "No return yet: everything was tried, and the text shows no fault. Read the modem again as it stands now.".into(),
        ),
        (false, None) => (
            Advice::Yes,
            "A return is justified: everything around the device was tried, and the fault is still there."
                .into(),
        ),
    }
}

fn of(judged: &Judged) -> State {
    match &judged.judgement {
        Judgement::Holds { certainty, evidence, .. } if *certainty >= Certainty::Likely => {
            evidence.first().cloned().map_or(State::Open, State::Found)
        }
        Judgement::RuledOut(evidence) => State::Clear(Some(evidence.clone())),
        _ => State::Open,
    }
}

/// The state of a check: found where one of its rules holds, clear where all are ruled out.
fn of_check(verdict: &Verdict, check: rules::Check) -> State {
    join(verdict.judged.iter().filter(|j| j.rule.check == Some(check)).map(of))
}

fn join(states: impl Iterator<Item = State>) -> State {
    let mut clear = None;
    let mut open = false;
    for state in states {
        match state {
            State::Found(_) => return state,
            State::Clear(evidence) => clear = clear.or(Some(evidence)),
            State::Reported => clear = clear.or(Some(None)),
            State::Open => open = true,
        }
    }
    match clear {
        Some(evidence) if !open => State::Clear(evidence),
        _ => State::Open,
    }
}

fn answered(case: &Case) -> Option<Evidence> {
    case.dialogue.answered_at.map(|span| Evidence {
        span,
        says: "the modem answered".into(),
        by: ReportedBy::Modem,
    })
}

fn restarted(case: &Case) -> State {
    use crate::case::Power;
    let start = case
        .device
        .power
        .all()
        .iter()
        .find(|o| matches!(o.value, Power::Started | Power::Starting | Power::HostRestart));
    start.map_or(State::Open, |o| State::Clear(Some(o.says("a restart"))))
}

fn reset(case: &Case) -> State {
    let asked = |command: &str| matches!(command, "&F" | "&F0" | "Z" | "Z0");
    let failed =
        case.exchanges.failures.all().iter().any(|o| asked(&o.value.command.to_ascii_uppercase()));
    if case.dialogue.commands().any(asked) && !failed { State::Clear(None) } else { State::Open }
}

fn swapped(case: &Case) -> State {
    let first = case.card.iccid.all().first();
    let other = first.and_then(|f| case.card.iccid.all().iter().find(|o| o.value != f.value));
    other.map_or(State::Open, |o| State::Clear(Some(o.says("another card"))))
}

fn of_card(verdict: &Verdict, case: &Case) -> State {
    match of_check(verdict, rules::Check::Card) {
        State::Clear(evidence) => {
            State::Clear(case.card.imsi.latest().map(|o| o.says("the card was read")).or(evidence))
        }
        other => other,
    }
}

/// What the carrier, the account or the session decides; that a modem searches is no sign of it.
fn network(verdict: &Verdict) -> State {
    let decides = |j: &&Judged| {
        j.rule.layer() == Layer::Bearer
            || matches!(j.rule.acts, Acts::Carrier | Acts::AccountHolder)
    };
    join(verdict.judged.iter().filter(|j| j.because_of.is_none()).filter(decides).map(of))
}

#[cfg(test)]
mod tests;
