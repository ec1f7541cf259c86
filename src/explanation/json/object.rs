//! The form of the JSON object: its members, their values and what they mean.
//!
//! The documentation of the members is what `mastside schema` prints; names and values are a contract.

use crate::case::Why;
use crate::rules::{Acts, Certainty};
use crate::verdict::Kind;
use crate::verdict::returns::Advice;
use schemars::JsonSchema;
use serde::Serialize;

/// The explanation of one text: the verdict, the answer of every rule with its evidence, what to do and what to ask.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Explanation")]
pub struct Object {
    /// The version of this form. It is 1, and changes only if a member changes its meaning.
    pub format: u8,
    /// The verdict on the text.
    pub verdict: VerdictObject,
    /// The answer of every rule, from the lowest layer (host) to the highest (path).
    pub judgements: Vec<JudgementObject>,
    /// What to ask next, the most useful question first.
    pub ask_next: Vec<AskObject>,
    /// Every value that was read, in the order of the text. Values that the modem does not know are left out.
    pub observed: Vec<ObservedObject>,
    /// The lines of the dialogue that were not understood, in the order of the text; at most 200.
    pub unread: Vec<UnreadObject>,
    /// How many further lines were not understood.
    pub unread_more: usize,
    /// Remarks beside the cause.
    pub remarks: Vec<RemarkObject>,
    /// Every modem whose output is in the text, in its order. Left out if there is only one. The verdict of the
    /// worst one is the verdict on the text: a fault before too little to tell before connected.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub devices: Vec<DeviceObject>,
    /// What the team's own file adds to the cause. Left out if it adds nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub team: Vec<TeamObject>,
    /// The checks before hardware is sent back. Present only if they were asked for.
    #[serde(rename = "return", skip_serializing_if = "Option::is_none")]
    #[schemars(default)]
    pub returning: Option<ReturnObject>,
}

/// Whether a return of the hardware is justified.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReturnObject {
    /// The advice in one word.
    pub advice: Advice,
    /// The advice in one sentence, for the technician.
    pub sentence: String,
    /// What is known about the device in one sentence, for the maker's desk.
    pub for_the_maker: String,
    /// The checks, in the order in which to make them.
    pub checks: Vec<CheckObject>,
}

/// One check before a return.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CheckObject {
    /// The short name of the check, as `--tried` takes it.
    pub name: String,
    /// What is checked.
    pub what: String,
    /// How to make the check.
    pub how: String,
    /// How far the check has come.
    pub state: CheckState,
    /// The line that shows the state.
    pub evidence: Option<EvidenceObject>,
    /// A caution that belongs beside the check.
    pub caution: Option<String>,
}

/// How far a check has come.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CheckState {
    /// The check was made, and nothing is wrong.
    Clear,
    /// The check was made, and it found the trouble.
    Trouble,
    /// Whoever asks says that the check found nothing. The text does not show it.
    #[serde(rename = "told")]
    Reported,
    /// The text does not show that the check was made.
    Open,
}

/// A line from the team's own file.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TeamObject {
    /// What kind of line it is.
    pub kind: TeamKind,
    /// The role that acts (for a step) or that is called (for a contact).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The text of the line.
    pub text: String,
    /// The commands of a step.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub commands: Vec<String>,
    /// Whether a step changes a setting that lasts.
    pub changes: bool,
    /// A caution that belongs beside a step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
}

/// What kind of line a team adds.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TeamKind {
    /// A remark.
    Note,
    /// What closed tickets with the same error number were: experience, never proof.
    Experience,
    /// A step to take.
    Step,
    /// Whom to call.
    Contact,
}

/// The verdict.
#[derive(Debug, Serialize, JsonSchema)]
pub struct VerdictObject {
    /// The id of the root cause as `layer/cause`, or `connected`, or `unclear`.
    pub finding: String,
    /// The id of the listed finding that this one is a finer case of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind_of: Option<String>,
    /// How certain the finding is.
    pub certainty: Certainty,
    /// The finding in one sentence.
    pub summary: String,
    /// Who can act first.
    pub acts: Acts,
    /// The state of the modem in a few words.
    pub state: String,
}

/// One of several modems.
#[derive(Debug, Serialize, JsonSchema)]
pub struct DeviceObject {
    /// The equipment number (IMEI), masked unless asked otherwise.
    pub equipment: Option<String>,
    /// The line of the equipment number.
    pub line: Option<usize>,
    /// The verdict on this modem.
    pub verdict: VerdictObject,
}

/// The answer of one rule.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JudgementObject {
    /// The id of the rule as `layer/cause`.
    pub id: String,
    /// The id of the listed finding that this one is a finer case of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind_of: Option<String>,
    /// The answer.
    pub judgement: Answer,
    /// How certain the finding is, if the answer is `holds`.
    pub certainty: Option<Certainty>,
    /// The id of the finding that this one follows from.
    pub because_of: Option<String>,
    /// The finding in one sentence if the answer is `holds`, otherwise the question of the rule.
    pub summary: String,
    /// The source of the rule: a clause of a standard, or "common practice, no source".
    pub clause: String,
    /// The lines that the answer is based on.
    pub evidence: Vec<EvidenceObject>,
    /// What to do, if the answer is `holds`.
    pub actions: Vec<ActionObject>,
    /// The commands whose answers would settle the rule.
    pub settled_by: Vec<String>,
}

/// The answer of a rule.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// The cause is present.
    Holds,
    /// The cause is excluded by the evidence.
    RuledOut,
    /// The text is not enough to decide.
    Open,
}

/// A line of the text that shows something.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EvidenceObject {
    /// The name of the text, if several texts were read together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The number of the line, from 1.
    pub line: usize,
    /// The first character in the line, from 1.
    pub column: usize,
    /// The part of the line. Identities and secrets are masked unless asked otherwise.
    pub text: String,
    /// What the part of the line means.
    pub says: String,
}

/// Something to do.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ActionObject {
    /// Who acts.
    pub by: Acts,
    /// What to do.
    pub text: String,
    /// The commands for it.
    pub commands: Vec<String>,
    /// Whether it changes a setting that lasts.
    pub changes: bool,
    /// A caution that belongs beside it.
    pub caution: Option<String>,
}

/// A question.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AskObject {
    /// The commands to send, in order; empty for a question to a person.
    pub commands: Vec<String>,
    /// The question to a person, where no command can tell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub question: Option<String>,
    /// What the answers would show.
    pub why: String,
    /// The ids of the rules that the answers would settle.
    pub settles: Vec<String>,
    /// Whether the commands change a setting that lasts.
    pub changes: bool,
    /// Whether it is only worth asking if the entries before it were not enough.
    pub if_not_enough: bool,
}

/// A value that was read.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ObservedObject {
    /// The name of the text, if several texts were read together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The name of the quantity with its unit, such as `rsrp_dbm`.
    pub quantity: String,
    /// The value: a number, or text for codes and names.
    pub value: ObservedValue,
    /// The role of the cell. Left out for the serving cell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<CellRole>,
    /// The antenna port from 0, for a level at one port.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub port: Option<u8>,
    /// The number of the line, from 1.
    pub line: usize,
}

/// A value.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum ObservedValue {
    /// A whole number.
    Whole(i64),
    /// A number with a fraction.
    Number(f64),
    /// A code or a name.
    Text(String),
}

/// The role of a cell beside the serving cell.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CellRole {
    /// A further cell of a carrier aggregation.
    Secondary,
    /// A cell that is received and not used.
    Neighbour,
}

/// A line of the dialogue that was not understood.
#[derive(Debug, Serialize, JsonSchema)]
pub struct UnreadObject {
    /// The name of the text, if several texts were read together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The number of the line, from 1.
    pub line: usize,
    /// The part of the line. Identities and secrets are masked unless asked otherwise.
    pub text: String,
    /// Why it was not understood.
    pub why: Why,
    /// The command that it answers, as sent.
    pub request: Option<String>,
    /// What can be said about it all the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A remark.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RemarkObject {
    /// What the remark is about.
    pub kind: Kind,
    /// The remark in one or more sentences.
    pub text: String,
    /// The lines that it is based on.
    pub evidence: Vec<EvidenceObject>,
}
