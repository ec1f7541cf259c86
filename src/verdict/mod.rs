//! The verdict: the judgements of all rules put in order, the root cause among them, what to ask.
//!
//! A fault is named when a rule holds it for likely or certain. What only fits (possible) is reported
//! and never makes the verdict by itself: then the verdict is `unclear`, with the question that would settle it.

mod ask;
mod health;
mod judged;
mod noted;
mod remark;
mod remedy;
pub mod returns;
mod root;
mod tied;

pub use ask::Ask;
pub use judged::{Judged, Remedy};
pub use remark::{Kind, Remark};

use crate::case::{Case, Evidence};
use crate::rules::{self, Acts, Certainty, Judgement, Rule, Site, Step, Team};

/// The kind of verdict.
#[derive(Clone, Debug)]
pub enum Finding {
    /// Registered, and a data session is open.
    Connected {
        /// How sure.
        certainty: Certainty,
        /// The lines that show it.
        evidence: Vec<Evidence>,
    },
    /// The rule of this id holds, and explains the rest.
    Fault(&'static str),
    /// The text is not enough.
    Unclear,
}

/// The differential of one case.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// The kind of verdict.
    pub finding: Finding,
    /// How sure.
    pub certainty: Certainty,
    /// One sentence that says it.
    pub summary: String,
    /// Who can act first.
    pub acts: Acts,
    /// The state of the modem in a few words.
    pub state: String,
    /// The answer of every rule, from the bottom layer up.
    pub judged: Vec<Judged>,
    /// What to do about the root cause, in order; without the reads that are among the questions.
    pub remedies: Vec<Remedy>,
    /// The read that shows whether a change helped, where one is among the remedies.
    pub result: Option<&'static str>,
    /// What to ask next, in order.
    pub ask_next: Vec<Ask>,
    /// What is worth knowing beside the cause: reserves, contradictions, history.
    pub remarks: Vec<Remark>,
    /// What the team adds to the root cause, and whom it calls.
    pub team: Vec<TeamLine>,
}

/// A line of the team's own beside the steps of the root cause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TeamLine {
    /// A remark.
    Note(String),
    /// A step.
    Step(Step),
    /// Whom to call for a role that has a step here.
    Contact(Acts, String),
    /// What closed tickets with the same error were: experience, never proof.
    Experience(String),
}

impl Verdict {
    /// Judges a site by every rule.
    pub fn reach(site: &Site<'_>) -> Self {
        Self::reach_with(site, &[])
    }

    /// Judges a site by every rule, and by those from outside of the crate.
    pub fn reach_with(site: &Site<'_>, more: &[&'static Rule]) -> Self {
        let set = site.command_set();
        let candidates = site.with_each();
        let mut differs = false;
        let judge = |rule: &'static Rule| {
            let judgement = tied::judge(site, &candidates, rule, &mut differs);
            let open = matches!(judgement, Judgement::Open);
            let settled_by = if open { rule.reads(set) } else { Vec::new() };
            let holds = matches!(judgement, Judgement::Holds { .. });
            let remedies = if holds { remedy::of(site, rule, &[]) } else { Vec::new() };
            let is_state = holds && (rule.is_state)(site);
            Judged { rule, judgement, because_of: None, is_state, remedies, settled_by }
        };
        let mut judged: Vec<Judged> = rules::all().chain(more.iter().copied()).map(judge).collect();
        root::link(&mut judged);
        let state = health::state(site);
        let health = health::connected(site);
        let root = root::choose(&judged, health.is_some()).map(|j| j.rule.id);
        let aim = match (root.and_then(rules::find), &health) {
            (Some(root), _) => ask::Aim::Below(root),
            (None, Some((certainty, ..))) => ask::Aim::Health(*certainty),
            (None, None) => ask::Aim::Cause,
        };
        let ask_next = ask::next(site, &judged, aim, differs);
        let remarks = remark::all(site, &judged, health.is_some() && root.is_none());
        let rule = root.and_then(rules::find);
        let remedies = rule.map_or_else(Vec::new, |rule| remedy::of(site, rule, &ask_next));
        let result = rule
            .filter(|_| remedies.iter().any(|r| r.changes))
            .and_then(|rule| remedy::result(site, rule));
        let root = root.and_then(|id| judged.iter().find(|j| j.rule.id == id));
        let (finding, certainty, summary, acts) = match (root, health) {
            (Some(root), _) => (
                Finding::Fault(root.rule.id),
                root.certainty().unwrap_or(Certainty::Possible),
                root.summary().to_owned(),
                root.rule.acts,
            ),
            (None, Some((certainty, summary, evidence))) => {
                (Finding::Connected { certainty, evidence }, certainty, summary, Acts::Nobody)
            }
            (None, None) => {
                let summary = health::unclear(site.case, &judged);
                (Finding::Unclear, Certainty::Possible, summary, Acts::Installer)
            }
        };
        Self {
            finding,
            certainty,
            summary,
            acts,
            state,
            judged,
            remedies,
            result,
            ask_next,
            remarks,
            team: Vec::new(),
        }
    }

    /// Notes what a team adds to the root cause.
    pub fn note_team(&mut self, team: &Team) {
        let Some(rule) = self.root().map(|j| j.rule) else { return };
        let mut lines = Vec::new();
        let mut roles: Vec<Acts> = self.remedies.iter().map(|a| a.by).collect();
        for addition in team.additions(rule.id) {
            lines.extend(addition.note.iter().cloned().map(TeamLine::Note));
            for step in &addition.steps {
                roles.extend(Acts::named(&step.by));
                lines.push(TeamLine::Step(step.clone()));
            }
        }
        roles.sort_unstable();
        roles.dedup();
        lines.extend(
            roles
                .into_iter()
                .filter_map(|role| Some(TeamLine::Contact(role, team.contact(role)?.to_owned()))),
        );
        self.team = lines;
    }

    /// Notes which profile the case was held against, or why none.
    pub fn note_profile(&mut self, sentence: String) {
        self.remarks.push(Remark { kind: Kind::Profile, text: sentence, evidence: Vec::new() });
    }

    /// Notes what a further text has settled that was open in the `earlier` verdict.
    pub fn note_progress(&mut self, earlier: &Self) {
        let open = |v: &Self, id: &str| {
            v.judged.iter().any(|j| j.rule.id == id && matches!(j.judgement, Judgement::Open))
        };
        let settled: Vec<_> = self
            .judged
            .iter()
            .map(|j| j.rule.id)
            .filter(|id| open(earlier, id) && !open(self, id))
            .collect();
        let text = match settled.len() {
            0 => "The last text settled nothing that was open before it.".into(),
            n => format!(
                "The last text settled {n} {} that {} open before it ({}); before it the finding was {}.",
                if n == 1 { "cause" } else { "causes" },
                if n == 1 { "was" } else { "were" },
                settled.join(", "),
                earlier.id()
            ),
        };
        self.remarks.push(Remark { kind: Kind::Progress, text, evidence: Vec::new() });
    }

    /// The id of the finding.
    pub const fn id(&self) -> &'static str {
        match self.finding {
            Finding::Connected { .. } => "connected",
            Finding::Fault(id) => id,
            Finding::Unclear => "unclear",
        }
    }

    /// The judged rule that is the root cause, where there is one.
    pub fn root(&self) -> Option<&Judged> {
        match self.finding {
            Finding::Fault(id) => self.judged.iter().find(|j| j.rule.id == id),
            _ => None,
        }
    }
}

/// Explains a case without a carrier profile.
pub fn explain(case: &Case) -> Verdict {
    Verdict::reach(&Site::of(case))
}

#[cfg(test)]
mod tests;
