//! What to ask next: the few reads that would settle most of what is still open, the decisive one first.
//!
//! The first block has at most three commands; what may be needed after it comes apart. Nothing is asked that the text
//! answers, that this modem refused, or that its system does not have.

mod order;
mod shown;
#[cfg(test)]
mod tests;

pub(super) use order::state;
pub(super) use shown::is_open;

use super::Judged;
use crate::rules::reads::{CARD_GROUP, REASON, REASON_5G, SEARCH};
use crate::rules::{Certainty, Judgement, Layer, Read, Rule, Site, bearer_up, data_registered};
use order::Order;

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
    /// Whether what the card's carrier wants can matter.
    fn is_of_carrier(self) -> bool {
        match self {
            Self::Below(root) => root.layer() >= Layer::Radio,
            Self::Health(_) => false,
            Self::Cause => true,
        }
    }

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

/// The questions for a site, the decisive one first; `carriers_differ` where profiles that fit alike lead to different
/// answers.
pub(super) fn next(
    site: &Site<'_>,
    judged: &[Judged],
    aim: Aim,
    carriers_differ: bool,
) -> Vec<Ask> {
    // A cause that is only likely is itself worth another read.
    let likely_root =
        |j: &Judged| aim == Aim::Below(j.rule) && j.certainty() == Some(Certainty::Likely);
    let wanted: Vec<&'static Rule> = judged
        .iter()
        .filter(|j| is_unsettled(j) && aim.wants(j.rule) || likely_root(j))
        .map(|j| j.rule)
        .collect();
    let own = site.command_set();
    let Order { mut urgent, further } = order::order(site, aim);
    // Which carrier's wishes count decides where they lead to different answers.
    if carriers_differ && aim.is_of_carrier() {
        urgent.insert(0, &CARD_GROUP);
    }
    let mut block = Block::default();
    let settles = |read: &'static Read| -> Vec<&'static str> {
        wanted.iter().filter(|r| r.settled_by.contains(&read)).map(|r| r.id).collect()
    };
    // A search drops the link for minutes, so that nobody is asked for it first who has one.
    let linked = data_registered(site).is_some() || bearer_up(site).is_some();
    for read in urgent {
        block.take(read, shown::worth_sending(site, own, read), settles(read), !linked);
    }
    for read in further {
        let settles = settles(read);
        if !settles.is_empty() {
            block.take(read, shown::worth_sending(site, own, read), settles, false);
        }
    }
    let Block { mut first, further } = block;
    first.extend(question(judged, aim));
    first.extend(further);
    first
}

/// The questions as they are put together.
#[derive(Default)]
struct Block {
    first: Vec<Ask>,
    further: Vec<Ask>,
}

impl Block {
    /// Takes in what of a group is not asked for yet, as far as there is room.
    fn take(
        &mut self,
        read: &'static Read,
        mut commands: Vec<&'static str>,
        settles: Vec<&'static str>,
        may_search: bool,
    ) {
        // A cause is shown by the read behind the setting, which then is the only one.
        if [&REASON, &REASON_5G].contains(&read)
            && let [_, again] = commands[..]
            && let Some(at) = self.first.iter().position(|a| a.commands == [again])
            && self.asked() < FIRST
        {
            let plain = self.first.remove(at);
            let mut all = settles.clone();
            all.extend(plain.settles.into_iter().filter(|id| !settles.contains(id)));
            self.first.insert(at, ask(read, commands, all, false));
            return;
        }
        let known = |c: &&str| {
            [&self.first, &self.further].iter().any(|l| l.iter().any(|a| a.commands.contains(c)))
        };
        commands.retain(|c| !known(c));
        if commands.is_empty() {
            return;
        }
        if self.asked() + commands.len() <= FIRST && (may_search || *read != SEARCH) {
            self.first.push(ask(read, commands, settles, false));
        } else if commands.len() <= FURTHER && !self.first.is_empty() && self.further.is_empty() {
            self.further.push(ask(read, commands, settles, true));
        }
    }

    /// So many commands stand in the first block.
    fn asked(&self) -> usize {
        self.first.iter().map(|a| a.commands.len()).sum()
    }
}

fn ask(
    read: &Read,
    commands: Vec<&'static str>,
    settles: Vec<&'static str>,
    if_not_enough: bool,
) -> Ask {
    Ask {
        commands,
        question: None,
        why: read.why,
        settles,
        changes: false,
        seconds: read.seconds,
        if_not_enough,
    }
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
