//! A rule with its answer, and the steps that it leads to.

use crate::case::Evidence;
use crate::rules::{Acts, Certainty, Judgement, Rule};
use std::borrow::Cow;

/// A rule with its answer.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The rule.
    pub rule: &'static Rule,
    /// Its answer.
    pub judgement: Judgement,
    /// The finding that explains this one, where another does.
    pub because_of: Option<&'static str>,
    /// Whether it is a state whose own cause is still to be found.
    pub is_state: bool,
    /// What to do about a finding that holds.
    pub remedies: Vec<Remedy>,
    /// Reads that would settle it, as this modem has them.
    pub settled_by: Vec<&'static str>,
}

impl Judged {
    /// The certainty of a finding that holds.
    pub fn certainty(&self) -> Option<Certainty> {
        match &self.judgement {
            Judgement::Holds { certainty, .. } => Some(*certainty),
            _ => None,
        }
    }

    /// The lines that show the answer.
    pub fn evidence(&self) -> &[Evidence] {
        match &self.judgement {
            Judgement::Holds { evidence, .. } => evidence,
            Judgement::RuledOut(evidence) => std::slice::from_ref(evidence),
            Judgement::Open => &[],
        }
    }

    /// The sentence of a finding that holds, else the rule's question.
    pub fn summary(&self) -> &str {
        match &self.judgement {
            Judgement::Holds { summary, .. } => summary,
            _ => self.rule.asks,
        }
    }
}

/// A step towards a site that works.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// Who does it.
    pub by: Acts,
    /// What to do.
    pub text: &'static str,
    /// Commands that do it, or reads whose response the text does not show and the questions do not ask for.
    pub commands: Vec<Cow<'static, str>>,
    /// Whether it changes something that lasts.
    pub changes: bool,
    /// A caution that belongs beside it.
    pub caution: Option<&'static str>,
}
