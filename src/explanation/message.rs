//! The explanation as a message to the customer: plain words, what to do or send, and what it will show.
//!
//! One wording is for whoever is at the device, one for whoever holds the contract of the SIM.

use super::asking;
use super::explained::Explanation;
use crate::rules::{Acts, Certainty};
use crate::verdict::{Ask, Finding, Remedy};
use std::fmt::{self, Write};

/// To whom a message goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reader {
    /// Whoever is at the device.
    Installer,
    /// Whoever holds the contract of the SIM.
    AccountHolder,
}

impl Reader {
    /// Who is to read about this verdict first.
    pub fn of(explanation: &Explanation<'_>) -> Self {
        let verdict = explanation.verdict();
        match verdict.acts {
            Acts::Carrier | Acts::AccountHolder if matches!(verdict.finding, Finding::Fault(_)) => {
                Self::AccountHolder
            }
            _ => Self::Installer,
        }
    }
}

/// So many commands at most stand in a message.
const MOST: usize = 3;

/// Technical words, and what a customer understands; the longer ones first.
const PLAIN: &[(&str, &str)] = &[
    ("voice and text messages (circuit domain)", "calls and text messages"),
    ("attached for emergency bearer services only", "on the network for emergency calls only"),
    ("the context that the attach uses", "the data connection that the modem opens at its start"),
    ("attached to the packet service", "connected for data"),
    ("not attached for data", "not connected for data"),
    ("a successful attach", "a successful registration"),
    ("Attach for packet data", "Connect for data"),
    ("attaching for data", "connecting for data"),
    ("attached for data", "connected for data"),
    ("the attach context", "that data connection"),
    ("circuit service", "service for calls"),
    ("the circuit domain", "the side for calls"),
    ("circuit domain", "side for calls"),
    ("packet service", "data service"),
    ("packet domain", "data side"),
    ("both domains", "both sides"),
    ("packet data", "data"),
    ("No context is", "No data connection is"),
    ("The context", "The data connection"),
    ("Context", "Data connection"),
    ("contexts", "data connections"),
    ("context", "data connection"),
    ("attaching is refused", "connecting is refused"),
    ("the attach", "the registration"),
    ("attaching", "registering"),
    ("attaches", "registers"),
    ("attached", "registered"),
    ("attach", "register"),
    ("The modem is not registered", "The modem is not on the network"),
];

/// The name that carriers give for data, explained where it comes first.
const NAME: (&str, &str) =
    ("access point name", "access point name (APN, the name that your carrier gives for data)");

/// Writes the message to who is to read it first.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn message(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    message_to(Reader::of(explanation), explanation, out)
}

/// Writes the message to one reader.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn message_to(
    reader: Reader,
    explanation: &Explanation<'_>,
    out: &mut impl Write,
) -> fmt::Result {
    let verdict = explanation.verdict();
    let mut page = Page { out, width: explanation.view.width.clamp(40, 120) };
    page.paragraph("Hello,")?;
    page.paragraph(&seen(explanation))?;
    // In the rule's own order, also a step of another person: the next one may build on it.
    let steps = &verdict.remedies[..verdict.remedies.len().min(2)];
    let left = MOST - page.steps(reader, verdict.certainty, steps)?;
    let asked = asking::Parts::of(&verdict.ask_next);
    if !matches!(verdict.finding, Finding::Connected { .. }) {
        page.reads(explanation, reader, left, steps.iter().any(|step| step.changes))?;
        for question in &asked.questions {
            page.paragraph(&plain(question))?;
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
    let summary = summary.replacen(NAME.0, NAME.1, 1);
    let is_state = verdict.root().is_some_and(|root| root.is_state);
    match (&verdict.finding, verdict.certainty) {
        (Finding::Connected { .. }, _) => {
            format!("{summary} There is nothing to mend on the modem itself.")
        }
        (Finding::Unclear, _) => {
            format!("what you sent does not yet show the cause. {summary}")
        }
        (Finding::Fault(_), _) if is_state => {
            format!(
                "this is what the modem reports: {summary} What you sent does not yet show why."
            )
        }
        (Finding::Fault(_), Certainty::Certain) => format!("this is what we see: {summary}"),
        (Finding::Fault(_), _) => format!("this is most likely the cause: {summary}"),
    }
}

fn plain(words: &str) -> String {
    PLAIN.iter().fold(words.to_owned(), |text, (from, to)| text.replace(from, to))
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

    /// The steps, each with the commands that do it; how many commands they are.
    fn steps(
        &mut self,
        reader: Reader,
        certainty: Certainty,
        steps: &[Remedy],
    ) -> Result<usize, fmt::Error> {
        if steps.is_empty() {
            return Ok(0);
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
        let mut used = 0;
        for (n, step) in steps.iter().enumerate() {
            let to = match (reader, step.by) {
                (_, Acts::Carrier) => "To be passed on to the carrier's support: ",
                (_, Acts::Maker) => "For whoever sold the device: ",
                (Reader::Installer, Acts::AccountHolder) => "For whoever holds the SIM contract: ",
                (Reader::AccountHolder, Acts::Installer) => "For whoever is at the device: ",
                _ => "",
            };
            self.lines(&format!("{}. ", n + 1), "   ", &format!("{to}{}", plain(step.text)))?;
            // A read belongs to its step; its response is asked for below with the others.
            let commands: &[_] =
                if step.changes || step.commands == ["AT+COPS=?"] { &step.commands } else { &[] };
            for command in commands.iter().take(MOST - used) {
                let note = if step.changes { "   (changes a setting)" } else { "" };
                writeln!(self.out, "   {command}{note}")?;
                used += 1;
            }
        }
        writeln!(self.out)?;
        Ok(used)
    }

    /// The reads that are still needed, at most `left`, and what their answers show.
    fn reads(
        &mut self,
        explanation: &Explanation<'_>,
        reader: Reader,
        left: usize,
        changed: bool,
    ) -> fmt::Result {
        let verdict = explanation.verdict();
        let result = verdict.result.filter(|_| changed && left > 0);
        let asks = fitting(&verdict.ask_next, left - usize::from(result.is_some()));
        let asked = || asks.iter().flat_map(|a| a.commands.iter().copied());
        let result = result.filter(|result| !asked().any(|c| c == *result));
        let block: Vec<&str> = asked().chain(result).collect();
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
        let mut shows: Vec<_> =
            asks.iter().map(|a| plain(&explanation.source.word(a.why))).collect();
        if result.is_some() {
            shows.push("what came of the change".into());
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
                let commands = page.lines().filter(|l| l.trim_start().starts_with("AT")).count();
                assert!(commands <= 3, "{}:\n{page}", rule.id);
                assert!(!crate::rules::all().any(|r| page.contains(r.id)), "{page}");
                assert!(page.lines().all(|l| l.chars().count() <= 80), "{page}");
                let words: Vec<_> = page
                    .split(|c: char| !c.is_ascii_alphabetic())
                    .map(str::to_ascii_lowercase)
                    .collect();
                for jargon in ["domain", "context", "contexts", "attach", "attached", "bearer"] {
                    assert!(!words.iter().any(|w| w == jargon), "{jargon}:\n{page}");
                }
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
        let change = page.find("AT+CFUN=1   (changes a setting)\n").expect(&page);
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
