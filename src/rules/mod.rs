//! What may be wrong: one rule a cause, in layers from the host up to the path.
//!
//! A rule reads a [`Site`] and answers that its cause holds, that it is ruled out, or that the text
//! leaves it open. It parses nothing and knows no other rule's answer; which cause explains which
//! is said by [`Rule::explains`] and used by the verdict.
//!
//! Each rule stands beside its page: what it is about, what shows it, what rules it out, what
//! leaves it open, and an example of each, which run as tests.

mod bearer;
mod card;
mod device;
mod host;
mod path;
mod radio;
mod registration;
mod registration_status;
mod site;
mod team;

pub(crate) use registration_status::{
    RegistrationStatus, bearer_up, circuit_registered, data_known, data_registered, opening_failed,
    registration_status, service_for_data,
};
pub use site::Site;
pub use team::{Addition, Step, Team, TeamError};

use crate::case::Evidence;
use crate::caution::{ANTENNA, POWER_OFF, SUPPLY};
use schemars::JsonSchema;
use serde::Serialize;
use std::borrow::Cow;
use strum::{EnumString, IntoStaticStr, VariantArray};

/// How certain a finding is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, IntoStaticStr, Serialize, JsonSchema,
)]
#[strum(serialize_all = "kebab-case")]
#[serde(rename_all = "kebab-case")]
pub enum Certainty {
    /// The cause fits what was read; so do other causes.
    Possible,
    /// The cause is the usual one for what was read.
    Likely,
    /// The card, the modem or the network said so.
    Certain,
}

impl Certainty {
    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// Who can act.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    IntoStaticStr,
    EnumString,
    VariantArray,
    Serialize,
    JsonSchema,
)]
#[strum(serialize_all = "kebab-case")]
#[serde(rename_all = "kebab-case")]
pub enum Acts {
    /// Whoever is at the device.
    Installer,
    /// The support of the carrier.
    Carrier,
    /// Whoever holds the contract for the SIM.
    AccountHolder,
    /// The maker or seller of the device.
    Maker,
    /// Nobody needs to act.
    Nobody,
}

impl Acts {
    /// Every role.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The role of a word.
    pub fn named(word: &str) -> Option<Self> {
        word.parse().ok()
    }

    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }

    /// The word with its meaning, for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Installer => "the installer on site",
            Self::Carrier => "the carrier's support",
            Self::AccountHolder => "the account holder (whoever holds the SIM contract)",
            Self::Maker => "the maker or seller of the device",
            Self::Nobody => "nobody",
        }
    }
}

/// Something to do about a cause.
#[derive(Clone, Copy, Debug)]
pub struct Action {
    /// Who does it.
    pub by: Acts,
    /// What to do.
    pub text: &'static str,
    /// Commands that do it, or read what is needed.
    pub commands: &'static [&'static str],
    /// Whether it changes something that lasts.
    pub changes: bool,
    /// A caution that belongs beside it.
    pub caution: Option<&'static str>,
}

impl Action {
    /// A step that needs no command.
    const fn step(by: Acts, text: &'static str) -> Self {
        Self { by, text, commands: &[], changes: false, caution: None }
    }

    /// With commands that only read.
    const fn reading(mut self, commands: &'static [&'static str]) -> Self {
        self.commands = commands;
        self
    }

    /// With commands that change something.
    const fn changing(mut self, commands: &'static [&'static str]) -> Self {
        self.commands = commands;
        self.changes = true;
        self
    }

    /// With a caution beside it.
    const fn with_care(mut self, caution: &'static str) -> Self {
        self.caution = Some(caution);
        self
    }
}

/// A rule's answer.
#[derive(Clone, Debug)]
pub enum Judgement {
    /// The cause is there.
    Holds {
        /// How sure.
        certainty: Certainty,
        /// One sentence that says it.
        summary: Cow<'static, str>,
        /// The lines that show it; never empty.
        evidence: Vec<Evidence>,
    },
    /// The cause is not there, as this line shows.
    RuledOut(Evidence),
    /// The text does not tell.
    Open,
}

impl Judgement {
    /// The word for it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Holds { .. } => "holds",
            Self::RuledOut(_) => "ruled-out",
            Self::Open => "open",
        }
    }
}

fn holds(
    certainty: Certainty,
    summary: impl Into<Cow<'static, str>>,
    evidence: Vec<Evidence>,
) -> Judgement {
    debug_assert!(!evidence.is_empty(), "a claim without a line to point at");
    Judgement::Holds { certainty, summary: summary.into(), evidence }
}

/// One possible cause of trouble.
#[derive(Debug)]
pub struct Rule {
    /// `layer/cause`
    pub id: &'static str,
    /// The question that it answers.
    pub asks: &'static str,
    /// Reads that would settle it, most telling first; none of them changes anything that lasts.
    pub needs: &'static [&'static str],
    /// Where it comes from: a clause, or "common practice, no source".
    pub clause: &'static str,
    /// Who can act first.
    pub acts: Acts,
    /// What to do.
    pub actions: &'static [Action],
    /// Ids, or whole layers with a slash at the end, whose findings follow from this one.
    pub explains: &'static [&'static str],
    /// The page: meaning, what shows it, what rules it out, what leaves it open, examples.
    pub page: &'static str,
    /// The answer for a site.
    pub judge: fn(&Site<'_>) -> Judgement,
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Eq for Rule {}

impl Rule {
    /// The layer in the id.
    pub fn layer(&self) -> &'static str {
        self.id.split('/').next().unwrap_or(self.id)
    }

    /// Whether this rule names `other` itself among what follows from it, not only its layer.
    pub fn explains_by_name(&self, other: &str) -> bool {
        self.explains.contains(&other)
    }

    /// Whether a finding `other` follows from this one.
    pub fn explains(&self, other: &str) -> bool {
        self.id != other
            && self.explains.iter().any(|e| *e == other || e.ends_with('/') && other.starts_with(e))
    }
}

/// Where a fact of the trade stands that no standard tells.
const PRACTICE: &str = "common practice, no source";

/// Every rule, from the bottom layer up.
pub fn all() -> impl ExactSizeIterator<Item = &'static Rule> {
    ALL.iter().copied()
}

static ALL: [&Rule; COUNT] = {
    let mut all = [LAYERS[0][0]; COUNT];
    let (mut at, mut layer) = (0, 0);
    while layer < LAYERS.len() {
        let mut row = 0;
        while row < LAYERS[layer].len() {
            all[at] = LAYERS[layer][row];
            (at, row) = (at + 1, row + 1);
        }
        layer += 1;
    }
    all
};

/// How many rules there are.
pub(crate) const COUNT: usize = {
    let (mut count, mut layer) = (0, 0);
    while layer < LAYERS.len() {
        count += LAYERS[layer].len();
        layer += 1;
    }
    count
};

/// The rule of an id.
pub fn find(id: &str) -> Option<&'static Rule> {
    all().find(|r| r.id == id)
}

/// The layers from the bottom up.
const LAYERS: [&[&Rule]; 7] = [
    host::RULES,
    device::RULES,
    card::RULES,
    radio::RULES,
    registration::RULES,
    bearer::RULES,
    path::RULES,
];

/// The place of a layer, counted from the bottom; unknown words stand on top.
pub fn height(id: &str) -> usize {
    let layer = id.split('/').next().unwrap_or(id);
    LAYERS
        .iter()
        .position(|rules| rules.first().is_some_and(|r| r.layer() == layer))
        .unwrap_or(LAYERS.len())
}

#[cfg(test)]
mod tests;
