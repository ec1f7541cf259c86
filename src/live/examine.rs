//! The read-only run: what matters most first, then what the open judgements ask for; every
//! volatile setting put back at the end.

use crate::at::{Client, ClientError};
use crate::at::{is_read, patience};
use crate::capture::Capture;
use crate::carrier::{Choice, ProfileStore};
use crate::case::Case;
use crate::response::{COMMAND_SETS, command_set};
use crate::rules::{Judgement, Site};
use crate::verdict::{Finding, Verdict};

/// What is going on, for whoever waits.
pub trait Progress {
    /// A command is about to be asked.
    fn asking(&mut self, command: &str);
}

impl Progress for () {
    fn asking(&mut self, _: &str) {}
}

/// What a run came to.
#[derive(Debug)]
pub struct Examination {
    /// Whether the modem answered at all.
    pub answered: bool,
    /// How many commands were asked.
    pub asked: usize,
    /// What ended the run early.
    pub ended: Option<ClientError>,
    /// Volatile settings that could not be put back.
    pub not_restored: Vec<String>,
}

/// What every run asks, most telling first.
const FIRST: &[&str] = &[
    "AT+CPIN?",
    "AT+CFUN?",
    "AT+CEREG?",
    "AT+CGREG?",
    "AT+CREG?",
    "AT+CSQ",
    "AT+CESQ",
    "AT+COPS?",
    "AT+CIMI",
    "ATI",
];
/// Asked where the modem is registered or refused.
const SESSION: &[&str] = &["AT+CGATT?", "AT+CGDCONT?", "AT+CGACT?", "AT+CGPADDR"];
/// The card's provider name and group, where profiles tie (TS 31.102 §4.2.12, §4.2.10).
const CARD_GROUPS: &[&str] = &["AT+CRSM=176,28486,0,0,17", "AT+CRSM=176,28478,0,0,0"];
/// At most so many commands.
const MOST: usize = 60;

/// Asks a modem everything that matters, changes nothing that lasts, and puts back what it had to
/// switch. What was read stands in the client's recording. Where nothing answers and `search_speed`
/// is set, the usual speeds of the line are tried.
pub fn examine(
    client: &mut Client<'_>,
    profiles: &ProfileStore,
    search_speed: bool,
    progress: &mut dyn Progress,
) -> Examination {
    let mut run =
        Run { client, asked: Vec::new(), progress, restore: Vec::new(), search: search_speed };
    let mut examination =
        Examination { answered: false, asked: 0, ended: None, not_restored: Vec::new() };
    match run.all(profiles) {
        Ok(answered) => examination.answered = answered,
        Err(error) => {
            examination.answered = !run.client.recorded().is_empty();
            examination.ended = Some(error);
        }
    }
    examination.not_restored = run.restore();
    examination.asked = run.asked.len();
    examination
}

struct Run<'r, 'p> {
    client: &'r mut Client<'p>,
    asked: Vec<String>,
    progress: &'r mut dyn Progress,
    /// Commands that put volatile settings back.
    restore: Vec<String>,
    /// Whether other speeds of the line may be tried.
    search: bool,
}

impl Run<'_, '_> {
    fn ask(&mut self, command: &str) -> Result<Option<crate::at::Answer>, ClientError> {
        debug_assert!(is_read(command), "{command} is no read");
        if !is_read(command)
            || self.asked.iter().any(|a| a.eq_ignore_ascii_case(command))
            || self.asked.len() >= MOST
        {
            return Ok(None);
        }
        self.progress.asking(command);
        self.asked.push(command.to_owned());
        self.client.ask(command, patience(command)).map(Some)
    }

    fn all(&mut self, profiles: &ProfileStore) -> Result<bool, ClientError> {
        self.progress.asking("AT");
        if !self.client.wake(self.search)? {
            return Ok(false);
        }
        self.volatile("+CMEE", "1")?;
        for command in FIRST {
            let answer = self.ask(command)?;
            if *command == "AT+CEREG?"
                && answer.is_some_and(|a| {
                    a.is_ok()
                        && a.value("+CEREG")
                            .is_some_and(|v| !v.ends_with(",1") && !v.ends_with(",5"))
                })
            {
                // A refusal tells its reason only in the fuller report.
                self.volatile("+CEREG", "3")?;
                self.asked.retain(|a| a != "AT+CEREG?");
                self.ask("AT+CEREG?")?;
            }
        }
        for command in SESSION {
            self.ask(command)?;
        }
        self.card_groups(profiles)?;
        self.command_set(profiles)?;
        loop {
            let (_, verdict, _) = self.so_far(profiles);
            let next: Vec<String> = verdict
                .ask_next
                .iter()
                .filter(|a| !a.changes)
                .flat_map(|a| a.commands.iter().copied())
                // What switches a volatile setting has its own way of being put back.
                .filter(|c| {
                    is_read(c)
                        && !c.starts_with("AT+CEREG=")
                        && !self.asked.iter().any(|a| a.eq_ignore_ascii_case(c))
                })
                .map(str::to_owned)
                .collect();
            if next.is_empty() || self.asked.len() >= MOST {
                return Ok(true);
            }
            for command in next {
                self.ask(&command)?;
            }
        }
    }

    /// What the dialogue so far comes to, and whether several profiles fit its card alike.
    fn so_far(&self, profiles: &ProfileStore) -> (Case, Verdict, bool) {
        let case = Case::read(&Capture::new(self.client.recorded()));
        let choice = Choice::make(profiles, &case, None).ok();
        let tied = choice.as_ref().is_some_and(|c| c.tied);
        let carrier = choice.and_then(|c| c.carrier);
        let verdict = Verdict::reach(&Site::with(&case, carrier.as_ref(), profiles));
        (case, verdict, tied)
    }

    /// Where several profiles fit the card alike, the card's own names tell them apart.
    fn card_groups(&mut self, profiles: &ProfileStore) -> Result<(), ClientError> {
        if self.so_far(profiles).2 {
            for command in CARD_GROUPS {
                self.ask(command)?;
            }
        }
        Ok(())
    }

    /// Where bands and technologies matter and no maker's command was seen, finds the one that this
    /// modem has: reads of the serving cell, until one is answered.
    fn command_set(&mut self, profiles: &ProfileStore) -> Result<(), ClientError> {
        let (case, verdict, _) = self.so_far(profiles);
        let deeper = verdict.root().is_some_and(|j| {
            matches!(j.rule.layer(), "host" | "device" | "card" | "bearer" | "path")
        });
        let wanted = verdict.judged.iter().any(|j| {
            matches!(j.rule.id, "radio/band-off" | "radio/technology")
                && matches!(j.judgement, Judgement::Open)
        });
        let known = command_set(case.dialogue.vendor_prefixes.iter().map(String::as_str)).is_some();
        if known || deeper || !wanted || matches!(verdict.finding, Finding::Connected { .. }) {
            return Ok(());
        }
        for candidate in COMMAND_SETS {
            let answer = self.ask(candidate.cell)?;
            if answer.is_some_and(|a| a.is_ok() && !a.lines.is_empty()) {
                break;
            }
        }
        Ok(())
    }

    /// Reads a volatile setting, switches it, and notes how to put it back.
    fn volatile(&mut self, name: &str, wanted: &str) -> Result<(), ClientError> {
        let read = format!("AT{name}?");
        let now = if self.asked.contains(&read) {
            last_mode(self.client.recorded(), name)
        } else {
            let answer = self.client.ask(&read, patience(&read))?;
            answer.value(name).and_then(|v| v.split(',').next()).map(|v| v.trim().to_owned())
        };
        // A setting that cannot be read could not be put back, so it stays.
        let Some(now) = now.filter(|n| n.len() == 1 && n.bytes().all(|b| b.is_ascii_digit()))
        else {
            return Ok(());
        };
        if now != wanted {
            let back = format!("AT{name}={now}");
            self.restore.push(back);
            let set = format!("AT{name}={wanted}");
            self.progress.asking(&set);
            self.client.ask(&set, patience(&set))?;
        }
        Ok(())
    }

    fn restore(&mut self) -> Vec<String> {
        let mut left = Vec::new();
        for command in std::mem::take(&mut self.restore).into_iter().rev() {
            self.progress.asking(&command);
            match self.client.ask(&command, patience(&command)) {
                Ok(answer) if answer.is_ok() => {}
                _ => left.push(command),
            }
        }
        if !matches!(self.client.leave(), Ok(true)) {
            left.push("ATV0".into());
        }
        left
    }
}

/// The report mode in the last answer of a command.
fn last_mode(recorded: &str, name: &str) -> Option<String> {
    let head = format!("{name}:");
    let line = recorded.lines().rev().find(|l| l.contains(&head))?;
    let value = line.split_once(&head)?.1.trim();
    value.split(',').next().map(|v| v.trim().to_owned())
}
