//! The explanation as a message to the customer: plain words, what to do or send, and what it will show.
//!
//! One wording is for whoever is at the device, one for whoever holds the contract of the SIM.

use super::asking;
use super::explained::Explanation;
use crate::case::Case;
use crate::rules::{Action, Acts, Certainty};
use crate::verdict::{Ask, Finding};
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
    ("for voice or emergency calls and is set on the context", "for calls and is in the setting"),
    ("the attach", "the connection to the network"),
    ("No context is defined", "No data connection is set up"),
    ("of the context", "of the data connection"),
    ("The modem is not registered", "The modem is not on the network"),
    ("voice and text messages (circuit domain)", "calls and text messages (the voice side)"),
    ("circuit domain", "voice side"),
    ("packet domain", "data side"),
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
    let case = explanation.case();
    let steps: Vec<&Action> = actions.iter().filter(|a| !was_refused(case, a)).take(2).collect();
    page.steps(reader, verdict.certainty, &steps)?;
    let mut left = MOST;
    for (n, step) in steps.iter().enumerate().filter(|(_, step)| step.changes) {
        let commands = &step.commands[..step.commands.len().min(left)];
        if commands.is_empty() {
            continue;
        }
        left -= commands.len();
        let step = if steps.len() > 1 { format!("step {}", n + 1) } else { "it".into() };
        let these = if commands.len() == 1 { "This command does" } else { "These commands do" };
        let change = if commands.len() == 1 { "it changes" } else { "they change" };
        page.block(&format!("{these} {step}; {change} a setting:"), commands)?;
    }
    let asked = asking::Parts::of(&verdict.ask_next);
    let open = !matches!(verdict.finding, Finding::Connected { .. });
    let changed = left < MOST;
    if open {
        page.reads(explanation, reader, &steps, left, changed)?;
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

/// Whether a step would repeat what this modem refused: a change whose commands all ended in an error.
fn was_refused(case: &Case, step: &Action) -> bool {
    let refused = |command: &&str| {
        let bare = command.strip_prefix("AT").unwrap_or(command);
        let failures = case.exchanges.failures.current();
        failures.iter().any(|o| o.value.command.eq_ignore_ascii_case(bare))
    };
    step.changes && !step.commands.is_empty() && step.commands.iter().all(refused)
}

/// The reads of the steps that the text does not show, for a verdict without questions of its own.
fn unsent_reads<'a>(case: &Case, steps: &[&'a Action]) -> Vec<&'a str> {
    let reads = steps.iter().filter(|a| !a.changes).flat_map(|a| a.commands.iter().copied());
    let unsent = |c: &&str| !case.dialogue.has_sent(c.strip_prefix("AT").unwrap_or(c));
    reads.filter(unsent).collect()
}

/// The first groups of questions whose commands all fit; a group is never torn apart.
fn fitting(asks: &[Ask], most: usize) -> Vec<&Ask> {
    let mut left = most;
    let first = asks.iter().filter(|a| !a.if_not_enough && !a.commands.is_empty());
    first
        .take_while(|ask| {
            let fits = ask.commands.len() <= left;
            left = left.saturating_sub(ask.commands.len());
            fits
        })
        .collect()
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

    fn steps(&mut self, reader: Reader, certainty: Certainty, steps: &[&Action]) -> fmt::Result {
        if steps.is_empty() {
            return Ok(());
        }
        let at_device = steps.iter().any(|a| a.by == Acts::Installer);
        self.paragraph(match (reader, certainty, at_device) {
            (Reader::Installer, ..) => "Please do this:",
            (Reader::AccountHolder, Certainty::Certain, false) => {
                "This lies with the contract of the SIM, so nobody at the device can mend it. Please do this:"
            }
            (Reader::AccountHolder, Certainty::Certain, true) => {
                "This lies with the contract of the SIM. Please do this:"
            }
            (Reader::AccountHolder, ..) => {
                "This may lie with the contract of the SIM. Please do this:"
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

    /// The reads that are still needed, at most `left`, and what their answers show.
    fn reads(
        &mut self,
        explanation: &Explanation<'_>,
        reader: Reader,
        steps: &[&Action],
        left: usize,
        changed: bool,
    ) -> fmt::Result {
        let asks = fitting(&explanation.verdict().ask_next, left);
        let mut block: Vec<&str> = asks.iter().flat_map(|a| a.commands.iter().copied()).collect();
        if block.is_empty() {
            block = unsent_reads(explanation.case(), steps);
            block.truncate(left);
        }
        if block.is_empty() {
            return match (reader, changed) {
                (Reader::Installer, true) => {
                    self.paragraph("Then wait a minute and tell us whether it works.")
                }
                _ => Ok(()),
            };
        }
        let words = match (reader, changed) {
            (Reader::Installer, false) => "Please send us the answers to this block of commands.",
            (Reader::Installer, true) => {
                "Then wait a minute and send us the answers to this block of commands."
            }
            (Reader::AccountHolder, _) => {
                "If it stays as it is, whoever is at the device can send us the answers to this block of commands."
            }
        };
        self.block(&format!("{words} {}", asking::block_note(&block)), &block)?;
        let shows: Vec<_> = asks.iter().map(|a| plain(&explanation.source.word(a.why))).collect();
        if shows.is_empty() {
            return Ok(());
        }
        self.paragraph(&format!("The answers show {}.", shows.join("; ")))
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
    fn what_only_may_lie_with_the_contract_is_no_reason_to_leave_the_device() {
        for text in ["AT+CEREG?\n+CEREG: 0,8\nOK\n", "AT+CEREG?\n+CEREG: 0,3\nOK\n"] {
            let page = written(text);
            assert!(!page.contains("nobody at the device"), "{page}");
        }
    }

    #[test]
    fn nothing_is_asked_again_that_the_text_answers() {
        let page = written(
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CSQ\n+CSQ: 99,99\nOK\nAT+CFUN?\n+CFUN: 1\nOK\n\
             AT+CEREG?\n+CEREG: 0,2\nOK\n",
        );
        for answered in ["AT+CPIN?", "AT+CSQ", "AT+CFUN?"] {
            assert!(page.lines().all(|l| l != answered), "{page}");
        }
    }

    #[test]
    fn a_change_comes_with_its_own_words_and_then_the_reads() {
        let page = written("AT+CFUN?\n+CFUN: 4\nOK\n");
        let change = page.find("a setting:\n\nAT+CFUN=1\n").expect(&page);
        let then = page.find("Then wait a minute").expect(&page);
        assert!(change < then, "{page}");
    }

    #[test]
    fn a_change_that_was_refused_is_not_asked_for_again() {
        let refused = written(
            "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,0\nOK\nAT+CGACT=1,1\n+CME ERROR: 148\n",
        );
        assert!(refused.lines().all(|l| l != "AT+CGACT=1,1"), "{refused}");
    }

    #[test]
    fn too_little_is_said_once_and_without_jargon() {
        for text in ["AT+CREG?\n+CREG: 0,6\nOK\n", "AT+CSQ\n+CSQ: 18,99\nOK\n", "AT\nOK\n"] {
            let page = written(text);
            assert!(!page.contains("not enough") && !page.contains("domain"), "{page}");
        }
    }

    #[test]
    fn a_caution_goes_with_the_step() {
        let page = written("AT+CPIN?\n+CME ERROR: 10\n");
        assert!(page.contains("Please take care: "), "{page}");
    }
}
