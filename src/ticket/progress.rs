//! What a further text changed: the finding, the causes that it settled, what it answered and what is still missing.

use crate::explanation::Explanation;
use crate::rules::Judgement;
use crate::verdict::Verdict;

/// What a further text changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Progress {
    /// The finding before it, where it was another one.
    pub before: Option<&'static str>,
    /// What was asked and is now answered.
    pub answered: Vec<String>,
    /// What was asked, is not answered and is still worth asking.
    pub missing: Vec<String>,
    /// The causes that were open before and no longer are.
    pub settled: Vec<Settled>,
}

/// A cause that a text settled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// The id of the rule.
    pub id: &'static str,
    /// `holds` or `ruled-out`.
    pub judgement: &'static str,
    /// What shows it.
    pub says: String,
}

impl Progress {
    /// What lies between the explanation of the earlier texts and that of all.
    pub fn between(earlier: &Explanation<'_>, later: &Explanation<'_>) -> Self {
        let (before, after) = (earlier.verdict(), later.verdict());
        let commands = before.ask_next.iter().flat_map(|ask| ask.commands.iter().copied());
        let sent = |explanation: &Explanation<'_>, command: &str| {
            let bare = command.strip_prefix("AT").unwrap_or(command);
            explanation.devices.iter().any(|device| device.case.dialogue.has_sent(bare))
        };
        let (mut answered, mut missing) = (Vec::new(), Vec::new());
        let wanted = |command| after.ask_next.iter().any(|ask| ask.commands.contains(&command));
        for command in commands {
            if sent(later, command) {
                answered.push(command.to_owned());
            } else if wanted(command) {
                missing.push(command.to_owned());
            }
        }
        let still = |question| after.ask_next.iter().any(|ask| ask.question == Some(question));
        for question in before.ask_next.iter().filter_map(|ask| ask.question) {
            let list = if still(question) { &mut missing } else { &mut answered };
            list.push(question.to_owned());
        }
        Self {
            before: Some(before.id()).filter(|id| *id != after.id()),
            answered,
            missing,
            settled: settled(before, later),
        }
    }
}

fn settled(before: &Verdict, later: &Explanation<'_>) -> Vec<Settled> {
    let was_open = |id: &str| {
        before.judged.iter().any(|j| j.rule.id == id && matches!(j.judgement, Judgement::Open))
    };
    let now = later.verdict().judged.iter();
    now.filter(|j| !matches!(j.judgement, Judgement::Open) && was_open(j.rule.id))
        .map(|j| Settled {
            id: j.rule.id,
            judgement: j.judgement.word(),
            says: j.evidence().first().map_or(String::new(), |e| later.source.word(&e.says)),
        })
        .collect()
}

/// What a verdict asks next: commands, then questions to a person.
pub(super) fn asked(verdict: &Verdict) -> Vec<String> {
    let commands = verdict.ask_next.iter().flat_map(|ask| ask.commands.iter().copied());
    let questions = verdict.ask_next.iter().filter_map(|ask| ask.question);
    commands.chain(questions).map(str::to_owned).collect()
}
