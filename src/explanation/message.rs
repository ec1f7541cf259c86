//! The explanation as a message to the customer: plain words, what to do or send, and what it will show.
//!
//! One wording is for whoever is at the device, one for whoever holds the contract of the SIM.

use super::asking;
use super::explained::Explanation;
use crate::rules::{Action, Acts, Certainty};
use crate::verdict::Finding;
use std::fmt::{self, Write};

/// To whom a message goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reader {
    Installer,
    AccountHolder,
}

/// So many commands at most stand in a message.
const MOST: usize = 3;

/// Technical words, and what a customer understands.
const PLAIN: &[(&str, &str)] = &[
    ("access point name", "access point name (APN, the name that your carrier gives for data)"),
    (
        "for voice or emergency calls and stands on the context",
        "for calls and stands in the setting",
    ),
    ("the attach", "the connection to the network"),
    ("No context is defined", "No data connection is set up"),
    ("of the context", "of the data connection"),
    ("The modem is not registered", "The modem is not on the network"),
];

/// Writes the message.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn message(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    let verdict = explanation.verdict();
    let reader = match verdict.acts {
        Acts::Carrier | Acts::AccountHolder if matches!(verdict.finding, Finding::Fault(_)) => {
            Reader::AccountHolder
        }
        _ => Reader::Installer,
    };
    let mut page = Page { out, width: explanation.view.width.clamp(40, 120) };
    page.paragraph("Hello,")?;
    page.paragraph(&seen(explanation))?;
    let actions = verdict.root().map_or(&[][..], |root| root.rule.actions);
    // In the rule's own order, also a step of another person: the next one may build on it.
    let steps: Vec<&Action> = actions.iter().take(2).collect();
    page.steps(reader, &steps)?;
    let own: Vec<&str> = steps.iter().flat_map(|a| a.commands.iter().copied()).collect();
    let (asked, shows) = asking::first(&verdict.ask_next, &explanation.source);
    let open = !matches!(verdict.finding, Finding::Connected { .. });
    if !own.is_empty() {
        let changes = steps.iter().any(|a| a.changes);
        let words = match (reader, changes) {
            (Reader::Installer, true) => "These commands do it; they change a setting:",
            (Reader::Installer, false) => "Please send us the answers to these commands:",
            (Reader::AccountHolder, _) => {
                "Whoever is at the device can send these commands and give us the answers:"
            }
        };
        page.block(words, &own[..own.len().min(MOST)])?;
    } else if !asked.block.is_empty() && open {
        let block = &asked.block[..asked.block.len().min(MOST)];
        let words = match reader {
            Reader::Installer => "Please send us the answers to this block of commands.",
            Reader::AccountHolder => {
                "If it stays as it is, whoever is at the device can send us the answers to this block of commands."
            }
        };
        page.block(&format!("{words} {}", asking::block_note(block)), block)?;
        page.paragraph(&format!("The answers show {shows}."))?;
    }
    if open {
        for question in &asked.questions {
            page.paragraph(question)?;
        }
    }
    let mut cautions: Vec<&str> = steps.iter().filter_map(|a| a.caution).collect();
    cautions.dedup();
    for caution in cautions {
        page.paragraph(&format!("Please take care: {caution}"))?;
    }
    writeln!(page.out, "Thank you.")
}

/// What is seen in one or two sentences.
fn seen(explanation: &Explanation<'_>) -> String {
    let verdict = explanation.verdict();
    let summary = plain(&explanation.source.word(&verdict.summary));
    match (&verdict.finding, verdict.certainty) {
        (Finding::Connected { .. }, _) => {
            format!("{summary} There is nothing to mend on the modem itself.")
        }
        (Finding::Unclear, _) => {
            format!("what you sent does not yet show the cause. {summary}")
        }
        (Finding::Fault(_), Certainty::Certain) => format!("this is what we see: {summary}"),
        (Finding::Fault(_), _) => format!("this is most likely the cause: {summary}"),
    }
}

fn plain(words: &str) -> String {
    PLAIN.iter().fold(words.to_owned(), |text, (from, to)| text.replacen(from, to, 1))
}

struct Page<'o, W> {
    out: &'o mut W,
    width: usize,
}

impl<W: Write> Page<'_, W> {
    fn lines(&mut self, first: &str, next: &str, words: &str) -> fmt::Result {
        let options =
            super::layout::lines_of(self.width).initial_indent(first).subsequent_indent(next);
        textwrap::wrap(words, options).iter().try_for_each(|line| writeln!(self.out, "{line}"))
    }

    fn paragraph(&mut self, words: &str) -> fmt::Result {
        self.lines("", "", words)?;
        writeln!(self.out)
    }

    fn steps(&mut self, reader: Reader, steps: &[&Action]) -> fmt::Result {
        if steps.is_empty() {
            return Ok(());
        }
        self.paragraph(match reader {
            Reader::Installer => "Please do this:",
            Reader::AccountHolder => {
                "This lies with the contract of the SIM, so nobody at the device can mend it. Please do this:"
            }
        })?;
        for (n, step) in steps.iter().enumerate() {
            let to = match (reader, step.by) {
                (_, Acts::Carrier) => "To be passed on to the carrier's support: ",
                (_, Acts::Maker) => "For whoever sold the device: ",
                (Reader::Installer, Acts::AccountHolder) => "For whoever holds the SIM contract: ",
                (Reader::AccountHolder, Acts::Installer) => "For whoever is at the device: ",
                _ => "",
            };
            self.lines(&format!("{}. ", n + 1), "   ", &format!("{to}{}", plain(step.text)))?;
        }
        writeln!(self.out)
    }

    fn block(&mut self, words: &str, commands: &[&str]) -> fmt::Result {
        self.paragraph(words)?;
        for command in commands {
            writeln!(self.out, "{command}")?;
        }
        writeln!(self.out)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carrier::ProfileStore;
    use crate::explanation::{Basis, View};

    fn written(text: &str) -> String {
        let profiles = ProfileStore::default();
        let basis = Basis::of(&profiles);
        let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
        let mut out = String::new();
        message(&explanation, &mut out).unwrap();
        out
    }

    #[test]
    fn a_message_has_no_id_and_at_most_three_commands() {
        for rule in crate::rules::all() {
            for part in rule.page.split("```holds\n").skip(1) {
                let text = part.split("```").next().unwrap();
                let page = written(text);
                let commands = page.lines().filter(|l| l.starts_with("AT")).count();
                assert!(commands <= 3, "{}:\n{page}", rule.id);
                assert!(!crate::rules::all().any(|r| page.contains(r.id)), "{page}");
                assert!(page.lines().all(|l| l.chars().count() <= 80), "{page}");
            }
        }
    }

    #[test]
    fn what_lies_with_the_contract_goes_to_its_holder() {
        let page = written("AT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n");
        assert!(page.contains("lies with the contract of the SIM"), "{page}");
        let page = written("AT+CPIN?\n+CPIN: SIM PIN\nOK\n");
        assert!(
            page.contains("Please do this:") && !page.contains("contract of the SIM"),
            "{page}"
        );
    }

    #[test]
    fn a_caution_goes_with_the_step() {
        let page = written("AT+CPIN?\n+CME ERROR: 10\n");
        assert!(page.contains("Please take care: "), "{page}");
    }
}
