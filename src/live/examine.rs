//! The read-only run: what matters most first, then what the open judgements ask for; every
//! volatile setting put back at the end.

use super::cycle_error::CycleError;
use super::fresh::attach_anew;
use super::journal::Journal;
use super::radio_cycle::level_in;
use super::values::status;
use crate::at::{Client, ClientError, CommandResponse};
use crate::at::{is_read, is_volatile};
use crate::capture::Capture;
use crate::carrier::{Choice, ProfileStore};
use crate::case::Case;
use crate::response::{COMMAND_SETS, command_set};
use crate::rules::reads::{CARD_GROUP, TECHNOLOGY};
use crate::rules::{Judgement, Layer, Read, RegistrationStatus, Site, VendorRead};
use crate::verdict::{Finding, Verdict};
use std::time::Duration;

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
    pub ended: Option<CycleError>,
    /// How often the modem restarted, or its port was away, meanwhile.
    pub restarts: usize,
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
/// At most so many commands.
const MOST: usize = 60;

/// What an examination does beside its reads, each only where it is asked for by name.
#[derive(Clone, Debug, Default)]
pub struct Further {
    /// The usual speeds of the line are tried where nothing answers.
    pub search_speed: bool,
    /// A fresh attach, and how long it may take; the link drops.
    pub reattach: Option<Duration>,
    /// Listening for what the network sends by itself.
    pub watch_for: Option<Duration>,
    /// A search for networks; the link drops.
    pub search: bool,
    /// Where a radio that is switched off is noted.
    pub journal: Journal,
}

/// Asks a modem everything that matters, changes nothing that lasts, and puts back what it had to
/// switch. What was read stands in the client's recording.
pub fn examine(
    client: &mut Client<'_>,
    profiles: &ProfileStore,
    search_speed: bool,
    progress: &mut dyn Progress,
) -> Examination {
    examine_further(client, profiles, &Further { search_speed, ..Further::default() }, progress)
}

/// The same, with what is asked for by name; settings are put back behind it.
pub fn examine_further(
    client: &mut Client<'_>,
    profiles: &ProfileStore,
    further: &Further,
    progress: &mut dyn Progress,
) -> Examination {
    let mut run = Run { client, asked: Vec::new(), progress, further };
    let mut examination = Examination {
        answered: false,
        asked: 0,
        ended: None,
        restarts: 0,
        not_restored: Vec::new(),
    };
    let read = run.all(profiles).map_err(CycleError::Line);
    let ended = read.and_then(|answered| {
        examination.answered = answered;
        if answered { run.further() } else { Ok(()) }
    });
    if let Err(error) = ended {
        examination.answered = run.client.has_answered();
        examination.ended = Some(error);
    }
    examination.restarts = run.client.restarts();
    examination.not_restored = run.client.restore();
    examination.asked = run.asked.len();
    examination
}

struct Run<'r, 'p> {
    client: &'r mut Client<'p>,
    asked: Vec<String>,
    progress: &'r mut dyn Progress,
    /// What was asked for beside the reads.
    further: &'r Further,
}

impl Run<'_, '_> {
    fn ask(&mut self, command: &str) -> Result<Option<CommandResponse>, ClientError> {
        debug_assert!(is_read(command), "{command} is no read");
        if !is_read(command)
            || self.asked.iter().any(|a| a.eq_ignore_ascii_case(command))
            || self.asked.len() >= MOST
        {
            return Ok(None);
        }
        self.progress.asking(command);
        self.asked.push(command.to_owned());
        if command == "AT+CPIN?" {
            return super::card::ask(self.client, self.progress).map(Some);
        }
        self.client.ask(command).map(Some)
    }

    fn all(&mut self, profiles: &ProfileStore) -> Result<bool, ClientError> {
        self.progress.asking("AT");
        if !self.client.wake(self.further.search_speed)? {
            return Ok(false);
        }
        self.switch("+CMEE", "1")?;
        for command in FIRST {
            let answer = self.ask(command)?;
            if *command == "AT+CFUN?" && answer.as_ref().is_some_and(|a| level_in(a) == Some(1)) {
                self.further.journal.radio_is_on();
            }
            if *command == "AT+CEREG?" && answer.is_some_and(|a| is_not_registered(&a)) {
                // A refusal gives its reason only in the fuller report.
                self.switch("+CEREG", "3")?;
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
            let (case, verdict, _) = self.so_far(profiles);
            let next: Vec<String> = verdict
                .ask_next
                .iter()
                .filter(|a| !a.changes)
                .flat_map(|a| a.commands.iter().copied())
                // People are asked for a few reads; a modem on the line can be asked for all.
                .chain(unsettled(&case, &verdict))
                // What switches a volatile setting has its own way of being put back.
                .filter(|c| {
                    is_read(c)
                        && !is_volatile(c)
                        && (*c != "AT+WS46?" || !has_own_setting(&case))
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

    /// What is done only when it is asked for by name.
    fn further(&mut self) -> Result<(), CycleError> {
        let further = self.further;
        if further.reattach.is_some() || further.watch_for.is_some() {
            // What the network sends by itself comes only in the fuller report.
            self.switch("+CEREG", "3")?;
        }
        if let Some(wait) = further.reattach {
            attach_anew(self.client, wait, &further.journal, self.progress)?;
        }
        if let Some(span) = further.watch_for {
            self.progress.asking("nothing, listening");
            self.client.listen(span)?;
            // The last state counts.
            self.ask_again("AT+CEREG?")?;
        }
        if further.search {
            self.progress.asking("AT+COPS=?, which takes minutes");
            self.client.ask("AT+COPS=?")?;
        }
        Ok(())
    }

    fn ask_again(&mut self, command: &str) -> Result<(), ClientError> {
        self.progress.asking(command);
        self.client.ask(command).map(|_| ())
    }

    /// The verdict on the dialogue so far, and whether several profiles fit its card alike.
    fn so_far(&self, profiles: &ProfileStore) -> (Case, Verdict, bool) {
        let case = Case::read(&Capture::new(self.client.recorded()));
        let choice = Choice::make(profiles, &case, None).ok();
        let tied = choice.as_ref().is_some_and(|c| c.tied);
        let site = choice.as_ref().map_or_else(
            || Site::with(&case, None, profiles),
            |c| Site::chosen(&case, c, profiles),
        );
        let verdict = Verdict::reach(&site);
        (case, verdict, tied)
    }

    /// Where several profiles fit the card alike, the card's own names tell them apart.
    fn card_groups(&mut self, profiles: &ProfileStore) -> Result<(), ClientError> {
        if self.so_far(profiles).2 {
            for command in CARD_GROUP.commands {
                self.ask(command)?;
            }
        }
        Ok(())
    }

    /// Where bands and technologies matter and no vendor's command was seen, finds the one that this
    /// modem has: reads of the serving cell, until one is answered.
    fn command_set(&mut self, profiles: &ProfileStore) -> Result<(), ClientError> {
        let (case, verdict, _) = self.so_far(profiles);
        let deeper = verdict.root().is_some_and(|j| {
            matches!(
                j.rule.layer(),
                Layer::Host | Layer::Device | Layer::Card | Layer::Bearer | Layer::Path
            )
        });
        let wanted = verdict.judged.iter().any(|j| {
            matches!(j.rule.vendor_read, Some(VendorRead::Bands | VendorRead::Technology))
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

    /// Switches a volatile setting that a read needs.
    fn switch(&mut self, name: &str, wanted: &str) -> Result<(), ClientError> {
        self.progress.asking(&format!("AT{name}={wanted}"));
        self.client.switch(name, wanted).map(|_| ())
    }
}

/// Whether the modem has a vendor's own setting of its technologies: that one binds it, whatever the
/// standard's read says beside it.
fn has_own_setting(case: &Case) -> bool {
    let own = command_set(case.dialogue.vendor_prefixes.iter().map(String::as_str));
    own.is_some_and(|own| own.technology.is_some())
}

/// The reads that would settle what is open below the cause that was found, or anywhere where none
/// was found.
fn unsettled(case: &Case, verdict: &Verdict) -> Vec<&'static str> {
    let root = verdict.root().map(|j| j.rule);
    let connected = matches!(verdict.finding, Finding::Connected { .. });
    let open = verdict.judged.iter().filter(move |j| {
        matches!(j.judgement, Judgement::Open)
            && !connected
            && root.is_none_or(|root| j.rule.explains(root) || root.known_first.contains(&j.rule))
    });
    let reads: Vec<&Read> = open.flat_map(|j| j.rule.settled_by).copied().collect();
    let own = command_set(case.dialogue.vendor_prefixes.iter().map(String::as_str));
    // Bands and technologies are read with the vendor's own commands.
    let of_vendor: Vec<&str> = own
        .filter(|_| reads.contains(&&TECHNOLOGY))
        .into_iter()
        .flat_map(|own| [own.technology, own.bands])
        .flatten()
        .collect();
    let standard = reads.iter().flat_map(|read| read.commands).copied();
    standard.chain(of_vendor).collect()
}

/// Whether a response gives a state of registration, and none that carries data.
fn is_not_registered(response: &CommandResponse) -> bool {
    response.is_ok()
        && status("AT+CEREG?", response).is_some_and(|s| s != RegistrationStatus::Registered)
}
