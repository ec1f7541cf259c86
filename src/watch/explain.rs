//! The examination at an outage, while the evidence is fresh: the dialogue is kept, its verdict goes into the log.

use super::dialogue;
use super::event::{Event, Kind};
use super::host::Host;
use super::run::Watch;
use super::session::prepare;
use super::trouble::Trouble;
use crate::at::{Client, ClientError};
use crate::explanation::{Explanation, View};
use crate::live::{CycleError, Progress, examine};
use crate::verdict::Finding;
use std::time::Duration;

/// An outage that lasts for so long is examined once more: the first look may have come before the cause.
const AGAIN_AFTER: Duration = Duration::from_mins(5);
/// At most so many examinations an hour: a link that flaps is not kept busy with reads.
const MOST_AN_HOUR: usize = 6;
const HOUR: Duration = Duration::from_hours(1);

/// The watchdog hears of every command.
struct Alive<'h>(&'h mut dyn Host);

impl Progress for Alive<'_> {
    fn asking(&mut self, _: &str) {
        self.0.alive();
    }
}

impl Watch<'_> {
    /// Whether an outage has begun that was not examined, or has lasted since it was.
    pub(super) fn is_examination_due(&mut self) -> bool {
        let Some(since) = self.state.out_since() else { return false };
        if self.state.has(Trouble::Port) || self.state.has(Trouble::Silence) {
            return false;
        }
        let now = self.host.now();
        while self.examined.front().is_some_and(|then| now.duration_since(*then) > HOUR) {
            self.examined.pop_front();
        }
        if self.examined.len() >= MOST_AN_HOUR {
            self.count("not-examined");
            return false;
        }
        let out_for = self.moment().now.saturating_sub(since);
        let began = now.checked_sub(out_for).unwrap_or(now);
        let looked = self.examined.iter().filter(|then| **then >= began).count();
        looked == 0 || looked == 1 && out_for >= AGAIN_AFTER
    }

    /// Examines the modem, keeps the dialogue, and writes what was found.
    pub(super) fn explain(&mut self, client: &mut Client<'_>) -> Result<(), ClientError> {
        self.examined.push_back(self.host.now());
        if self.state.has(Trouble::Traffic) {
            client.remark("the modem is registered, and the probed host does not answer")?;
        }
        let run = examine(client, self.basis.profiles, false, &mut Alive(&mut *self.host));
        let examined = client.take_recorded();
        let text = format!("{}{examined}", std::mem::take(&mut self.last_text));
        let event = self.explained(&text);
        if let Some(event) = event {
            self.count(&event.finding.clone());
            self.put(event);
        }
        match run.ended {
            Some(CycleError::Line(error)) => return Err(error),
            Some(error) => self.publish(Kind::Note, &error.to_string()),
            None => {}
        }
        // The examination has put everything back.
        prepare(client)?;
        client.take_recorded();
        Ok(())
    }

    fn explained(&mut self, text: &str) -> Option<Event> {
        let explanation = match Explanation::of(text, Vec::new(), &self.basis, View::default()) {
            Ok(explanation) => explanation,
            Err(error) => {
                self.publish(Kind::Note, &error.to_string());
                return None;
            }
        };
        let verdict = explanation.verdict();
        let acts =
            if matches!(verdict.finding, Finding::Fault(_)) { verdict.acts.word() } else { "" };
        let event = Event {
            finding: verdict.id().to_owned(),
            certainty: verdict.certainty.word().to_owned(),
            acts: acts.to_owned(),
            ..self.event(Kind::Explained, explanation.source.word(&verdict.summary))
        };
        let capture = match dialogue::keep(&self.settings.captures, text, self.host.wall()) {
            Ok(path) => path.display().to_string(),
            Err(error) => {
                self.host.log_failed(&error);
                String::new()
            }
        };
        Some(Event { capture, ..event })
    }
}
