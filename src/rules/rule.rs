//! What a rule is: a possible cause with everything that is known of it, and the answer that it gives.

use super::layer::Layer;
use super::reads::{Read, VendorRead};
use super::site::Site;
use crate::case::{Evidence, ReportedBy};
use crate::response::VendorCommandSet;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use strum::{EnumString, IntoStaticStr, VariantArray};

/// The source of a fact of the trade that no standard states.
pub(super) const PRACTICE: &str = "common practice, no source";

/// How certain a finding is.
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
    Deserialize,
    Serialize,
    JsonSchema,
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
    /// The certainty of a word.
    pub fn named(word: &str) -> Option<Self> {
        word.parse().ok()
    }

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
    Deserialize,
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
            Self::Installer => "whoever is at the device",
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
    /// What in the text makes the step worthless.
    pub unless: Option<fn(&Site<'_>) -> bool>,
    /// The context that takes the place of `{context}` in the commands; 1 where the text names none.
    pub context: fn(&Site<'_>) -> Option<u8>,
}

/// What stands in a step's commands for the number of a context.
const CONTEXT: &str = "{context}";

impl Action {
    /// A step that needs no command.
    pub const fn step(by: Acts, text: &'static str) -> Self {
        let context: fn(&Site<'_>) -> Option<u8> = |_| None;
        Self { by, text, commands: &[], changes: false, caution: None, unless: None, context }
    }

    /// The commands for a context, 1 where none is named.
    pub(crate) fn commands_for(
        &self,
        context: Option<u8>,
    ) -> impl Iterator<Item = Cow<'static, str>> {
        let number = context.unwrap_or(1).to_string();
        self.commands.iter().map(move |command| {
            if command.contains(CONTEXT) {
                command.replace(CONTEXT, &number).into()
            } else {
                Cow::from(*command)
            }
        })
    }

    /// With commands for the context that the text is about.
    pub(super) const fn of_context(mut self, context: fn(&Site<'_>) -> Option<u8>) -> Self {
        self.context = context;
        self
    }

    /// With commands that only read.
    #[must_use]
    pub const fn reading(mut self, commands: &'static [&'static str]) -> Self {
        self.commands = commands;
        self
    }

    /// With commands that change something.
    #[must_use]
    pub const fn changing(mut self, commands: &'static [&'static str]) -> Self {
        self.changes = true;
        self.reading(commands)
    }

    /// A step that is left out where the text shows that it is worthless.
    pub(super) const fn unless(mut self, worthless: fn(&Site<'_>) -> bool) -> Self {
        self.unless = Some(worthless);
        self
    }
    /// With a caution beside it.
    #[must_use]
    pub const fn with_care(mut self, caution: &'static str) -> Self {
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

pub(super) fn holds(
    certainty: Certainty,
    summary: impl Into<Cow<'static, str>>,
    evidence: Vec<Evidence>,
) -> Judgement {
    debug_assert!(!evidence.is_empty(), "a claim without a line to point at");
    // What only people say never makes a cause certain.
    let said = evidence.iter().all(|e| e.by == ReportedBy::Person);
    let certainty = if said { certainty.min(Certainty::Likely) } else { certainty };
    Judgement::Holds { certainty, summary: summary.into(), evidence }
}

/// What follows from a cause: every finding of a layer, or one.
#[derive(Clone, Copy)]
pub enum Consequence {
    /// Every finding of a layer.
    Layer(Layer),
    /// One finding.
    Rule(&'static Rule),
}

impl Consequence {
    /// The id, or the layer with a slash.
    pub fn word(self) -> String {
        match self {
            Self::Layer(layer) => format!("{}/", layer.word()),
            Self::Rule(rule) => rule.id.to_owned(),
        }
    }
}

// Rules that explain each other refer to each other, so that only the id is printed.
impl std::fmt::Debug for Consequence {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.word())
    }
}

/// A check before a return of hardware whose outcome rules can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Check {
    /// The supply holds under load.
    Supply,
    /// Port and cable work.
    Port,
    /// The card is seen and read.
    Card,
    /// The radio is on.
    Radio,
    /// A level is measured at the right connector.
    Antenna,
    /// Bands, technologies and network choice fit the place.
    Settings,
}

/// One possible cause of trouble, and everything that is known of it.
#[derive(Debug)]
pub struct Rule {
    /// `layer/cause`
    pub id: &'static str,
    /// The listed finding that this one is a finer case of.
    pub kind_of: Option<&'static Rule>,
    /// The question that it answers.
    pub asks: &'static str,
    /// Groups of reads that settle it, most telling first.
    pub settled_by: &'static [&'static Read],
    /// The read of this modem's own vendor that settles it.
    pub vendor_read: Option<VendorRead>,
    /// What must be settled before anybody acts on this cause.
    pub known_first: &'static [&'static Rule],
    /// What to ask once this cause is found; by default what would settle a deeper one.
    pub follow_up: &'static [&'static Read],
    /// What a person is asked who has this cause before them, where no command can tell.
    pub question: Option<&'static str>,
    /// The change of `mastside amend` that mends it, as it is typed.
    pub amendment: Option<&'static str>,
    /// How common it is among people who ask for help with a modem, as a weight: counts over public
    /// requests for help (about 160), rounded; common practice, no source.
    pub commonness: u8,
    /// The check before a return that it belongs to.
    pub check: Option<Check>,
    /// Whether a connected modem can have this fault.
    pub beside_connection: bool,
    /// Whether it is a state that the modem reports, whose own cause is still to be found.
    pub is_state: fn(&Site<'_>) -> bool,
    /// Where it comes from: a clause, or "common practice, no source".
    pub clause: &'static str,
    /// Who can act first.
    pub acts: Acts,
    /// What to do.
    pub actions: &'static [Action],
    /// What follows from it.
    pub explains: &'static [Consequence],
    /// What follows from it beside [`Rule::explains`], where that is shared with other causes.
    pub explains_too: &'static [Consequence],
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
    /// What a rule is that says nothing else; each field that differs is set over it.
    pub const BLANK: Self = Self {
        id: "",
        kind_of: None,
        asks: "",
        settled_by: &[],
        vendor_read: None,
        known_first: &[],
        follow_up: &[],
        question: None,
        amendment: None,
        commonness: 1,
        check: None,
        beside_connection: false,
        is_state: |_| false,
        clause: PRACTICE,
        acts: Acts::Installer,
        actions: &[],
        explains: &[],
        explains_too: &[],
        page: "",
        judge: |_| Judgement::Open,
    };

    /// The layer in the id.
    pub fn layer(&self) -> Layer {
        let word = self.id.split('/').next().unwrap_or(self.id);
        Layer::named(word).unwrap_or(Layer::Path)
    }

    /// Everything that follows from it.
    pub fn consequences(&self) -> impl Iterator<Item = &'static Consequence> {
        self.explains.iter().chain(self.explains_too)
    }

    /// Whether this rule names `other` itself among what follows from it, not only its layer.
    pub fn explains_by_name(&self, other: &Self) -> bool {
        self.consequences().any(|c| matches!(c, Consequence::Rule(rule) if *rule == other))
    }

    /// Whether a finding `other` follows from this one.
    pub fn explains(&self, other: &Self) -> bool {
        let follows = |c: &Consequence| match c {
            Consequence::Layer(layer) => other.layer() == *layer,
            Consequence::Rule(rule) => *rule == other,
        };
        self != other && self.consequences().any(follows)
    }

    /// The commands that settle it on a modem of this vendor command set, each once, most telling first.
    pub fn reads(&self, set: Option<&VendorCommandSet>) -> Vec<&'static str> {
        let own = set.and_then(|set| self.vendor_read?.command(set));
        let mut reads: Vec<_> = own.into_iter().collect();
        for command in self.settled_by.iter().flat_map(|group| group.commands) {
            if !reads.contains(command) {
                reads.push(command);
            }
        }
        reads
    }
}
