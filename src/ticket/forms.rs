//! The files of a ticket: its head, the verdict after each text, the closing note.

use super::progress::Progress;
use crate::explanation::Explanation;
use crate::rules::{Acts, Certainty};
use crate::triage::attributes::network;
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

/// `ticket.toml`: what the team knows about the ticket beside its texts.
#[derive(Clone, Debug, Default, Serialize, Deserialize, PartialEq, Eq)]
#[serde(default, rename_all = "kebab-case")]
pub struct Head {
    /// The version of the form.
    pub format: u32,
    /// The number of the ticket; without one the name of the folder counts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// The site.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// When it was opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opened: Option<DateTime<Utc>>,
    /// The card's carrier, by the name of its profile.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub carrier: Option<String>,
    /// Notes of the team.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// `verdict-NN.toml`: the verdict after a text, and what the text changed.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub struct Step {
    /// The version of the form.
    #[serde(default)]
    pub format: u32,
    /// When it was judged.
    pub judged: DateTime<Utc>,
    /// The version of the program that judged.
    pub program: String,
    /// The finding.
    pub finding: String,
    /// How sure.
    pub certainty: Certainty,
    /// Who can act.
    pub acts: Acts,
    /// The finding in one sentence.
    pub summary: String,
    /// The state of the modem.
    #[serde(default)]
    pub state: String,
    /// The vendor's name as the modem prints it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vendor: Option<String>,
    /// The model as the modem prints it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// The network that the modem is on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub network: Option<String>,
    /// Error numbers of the vendor's own, without a meaning in the tables.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<u16>,
    /// Commands and questions to ask next.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub asked: Vec<String>,
    /// What was asked before this text and is answered by it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answered: Vec<String>,
    /// What was asked before this text and is still missing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
    /// The causes that this text settled, each with its judgement.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub settled: Vec<String>,
}

impl Step {
    /// The finding and how sure it is; too little to tell is no finding.
    pub(super) fn finding_words(&self) -> String {
        match self.finding.as_str() {
            "unclear" => "unclear".into(),
            finding => format!("{finding}, {}", self.certainty.word()),
        }
    }

    /// The verdict of an explanation, and what its last text changed.
    pub fn of(
        explanation: &Explanation<'_>,
        progress: Option<&Progress>,
        now: DateTime<Utc>,
    ) -> Self {
        let (verdict, case) = (explanation.verdict(), explanation.case());
        let word = |text: &str| explanation.source.word(text);
        let latest = |history: &crate::case::History<String>| {
            history.latest().map(|o| word(o.value.trim())).filter(|text| !text.is_empty())
        };
        let mut errors: Vec<u16> = explanation
            .devices
            .iter()
            .flat_map(|device| &device.case.dialogue.unread)
            .filter_map(|unread| unread.error)
            .collect();
        errors.sort_unstable();
        errors.dedup();
        let settled = progress.map_or(&[][..], |p| &p.settled);
        Self {
            format: 1,
            judged: now,
            program: env!("CARGO_PKG_VERSION").into(),
            finding: verdict.id().into(),
            certainty: verdict.certainty,
            acts: verdict.acts,
            summary: word(&verdict.summary),
            state: word(&verdict.state),
            vendor: latest(&case.device.manufacturer),
            model: latest(&case.device.model),
            network: network(case).map(|name| word(&name)),
            errors,
            asked: super::progress::asked(verdict),
            answered: progress.map(|p| p.answered.clone()).unwrap_or_default(),
            missing: progress.map(|p| p.missing.clone()).unwrap_or_default(),
            settled: settled.iter().map(|s| format!("{}: {}", s.id, s.judgement)).collect(),
        }
    }
}

/// `closing.toml`: what it was in the end.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub struct Closing {
    /// The version of the form.
    #[serde(default)]
    pub format: u32,
    /// When it was closed.
    pub closed: DateTime<Utc>,
    /// What it was, in the team's words.
    pub note: String,
    /// The id of the finding that it turned out to be, if the team names one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub was: Option<String>,
}
