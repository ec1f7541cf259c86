//! One stretch with the modem on the line: rounds of reads, listening between them, an examination at each outage.

use super::entry::Entry;
use super::event::{Event, Kind};
use super::line::{Absences, Noting};
use super::look::Look;
use super::run::Watch;
use super::trouble::Trouble;
use crate::at::{Client, ClientError};
use crate::port::{Port, Recorder};
use crate::survey::live::{answered_reads, reading_of};
use crate::survey::sample::Sample;
use std::sync::PoisonError;
use std::time::{Duration, Instant};

/// Reads beside those of a survey: states of the other domains, card, addresses.
const FURTHER: [&str; 5] = ["AT+CGREG?", "AT+C5GREG?", "AT+CREG?", "AT+CPIN?", "AT+CGPADDR"];
/// What comes by itself brings the next round forward, no closer to the last one than this.
const SOONEST: Duration = Duration::from_secs(2);
/// Behind the first line that comes by itself the others of its group are waited for.
const GROUP: Duration = Duration::from_millis(300);
/// So much of what came in is kept for the beginning of a dialogue, bytes.
const KEPT: usize = 8192;

/// How a stretch ended.
pub(super) enum Ended {
    /// The time is over, or somebody stopped the watch.
    Over,
    /// The line is gone, and why.
    Gone(String),
    /// The modem does not answer.
    Silent,
}

impl From<ClientError> for Ended {
    fn from(error: ClientError) -> Self {
        match error {
            ClientError::Stopped => Self::Over,
            ClientError::Silent => Self::Silent,
            ClientError::Gone(why) => Self::Gone(why.to_string()),
            ClientError::Recording(why) => Self::Gone(why.to_string()),
        }
    }
}

/// The modem on the line, and what is asked of it.
pub(super) struct Session<'c> {
    pub(super) client: Client<'c>,
    reads: Vec<&'static str>,
    absences: Absences,
    restarts: usize,
    /// Whether the modem printed that it starts, which the client counts later.
    start_was_seen: bool,
}

impl Watch<'_> {
    /// Watches as long as the line lasts; says how it ended, and whether the modem answered at all.
    pub(super) fn session(&mut self, port: Box<dyn Port>) -> (Ended, bool) {
        let (mut port, absences) = Noting::new(port);
        let stop = self.stop;
        let client = Client::new(&mut port, Recorder::new(), stop);
        let mut session =
            Session { client, reads: Vec::new(), absences, restarts: 0, start_was_seen: false };
        let ended = match self.rounds(&mut session) {
            Ok(()) => Ended::Over,
            Err(error) => Ended::from(error),
        };
        self.take_absences(&session.absences);
        if !matches!(ended, Ended::Gone(_)) {
            for left in session.client.restore() {
                self.publish(Kind::Note, &format!("a setting could not be put back: {left}"));
            }
        }
        (ended, session.client.has_answered())
    }

    fn rounds(&mut self, session: &mut Session<'_>) -> Result<(), ClientError> {
        if !session.client.wake(self.settings.search_speed)? {
            return Err(ClientError::Silent);
        }
        session.reads = answered_reads(&mut session.client)?;
        for read in FURTHER {
            let answer = session.client.ask(read)?;
            // A card that is missing answers with an error, which is what is to be known.
            if answer.is_ok() || read == "AT+CPIN?" {
                session.reads.push(read);
            }
        }
        prepare(&mut session.client)?;
        session.client.take_recorded();
        // A late answer to a bare `AT` is no modem that answers.
        let moment = self.moment();
        let back = self.state.end(Trouble::Silence, moment);
        self.publish_all(back);
        while !self.is_over() {
            let began = session.client.now();
            self.round(session)?;
            self.look_into_outage(session)?;
            let due = began + self.jittered();
            self.listen(session, began, due)?;
        }
        Ok(())
    }

    fn jittered(&mut self) -> Duration {
        self.settings.every.mul_f64(0.9 + 0.2 * self.random.uniform())
    }

    fn round(&mut self, session: &mut Session<'_>) -> Result<(), ClientError> {
        self.host.alive();
        let began = session.client.now();
        for read in &session.reads {
            session.client.ask(read)?;
        }
        let took = session.client.now().duration_since(began);
        let text = session.client.take_recorded();
        self.take_absences(&session.absences);
        let look = Look::of(&text);
        self.see(session, &look);
        let reading = reading_of(&text, self.host.wall(), took);
        self.keep_text(text);
        let mut sample = Sample::of(reading, self.number + 1, 1, None);
        sample.registration = self.state.stat();
        if self.append(&Entry::Sample(sample.clone())) {
            self.number += 1;
            self.figures.sample(&sample);
            self.host.sample(&sample);
        }
        let events = self.state.sample(&sample);
        self.publish_all(events);
        self.between();
        Ok(())
    }

    /// Takes what was seen, and what the client noticed meanwhile.
    fn see(&mut self, session: &mut Session<'_>, look: &Look) {
        let counted = session.client.restarts();
        let more = counted.saturating_sub(session.restarts);
        session.restarts = counted;
        // The client counts a start that was printed when it next asks.
        let known = more > 0 && std::mem::take(&mut session.start_was_seen);
        if look.started && more == 0 {
            session.start_was_seen = true;
        }
        for _ in 0..(more - usize::from(known)).max(usize::from(look.started && more == 0)) {
            self.publish(Kind::Restarted, "");
        }
        let moment = self.moment();
        let events = self.state.look(look, moment);
        self.publish_all(events);
        let (registered, stat) = (self.state.registered(), self.state.stat());
        let trouble = self.state.trouble();
        self.figures.change(|f| {
            f.registered = registered;
            f.stat = stat;
            f.trouble = trouble;
            if registered == Some(true) {
                f.last_registered = Some(moment.at);
            }
        });
    }

    fn take_absences(&mut self, absences: &Absences) {
        let noted = std::mem::take(&mut *absences.lock().unwrap_or_else(PoisonError::into_inner));
        for (away, then) in noted {
            let moment = self.moment_of(then);
            let event = if away {
                self.state.begin(Trouble::Port, moment, "")
            } else {
                self.state.end(Trouble::Port, moment)
            };
            self.publish_all(event);
            if away {
                self.count(Trouble::Port.begins().name());
            }
        }
    }

    fn keep_text(&mut self, text: String) {
        self.last_text = text;
        if self.last_text.len() > KEPT {
            let from = self.last_text.len() - KEPT;
            let line = self.last_text[self.last_text.ceil_char_boundary(from)..].find('\n');
            let cut = self.last_text.ceil_char_boundary(from) + line.map_or(0, |at| at + 1);
            self.last_text.drain(..cut);
        }
    }

    /// Listens until the next round is due; what comes by itself brings it forward.
    fn listen(
        &mut self,
        session: &mut Session<'_>,
        began: Instant,
        due: Instant,
    ) -> Result<(), ClientError> {
        const SLICE: Duration = Duration::from_secs(5);
        let mut due = due;
        loop {
            let left = due.saturating_duration_since(session.client.now());
            if left.is_zero() || self.is_over() {
                return Ok(());
            }
            if session.client.hear(left.min(SLICE))? {
                session.client.listen(GROUP)?;
            }
            self.between();
            let text = session.client.take_recorded();
            if !text.is_empty() {
                self.take_absences(&session.absences);
                let look = Look::of(&text);
                if !look.is_empty() {
                    self.see(session, &look);
                    self.keep_text(text);
                    due = due.min(began + SOONEST);
                }
            }
            self.look_into_outage(session)?;
        }
    }

    /// Examines the modem where an outage has begun, and once more where it lasts.
    fn look_into_outage(&mut self, session: &mut Session<'_>) -> Result<(), ClientError> {
        if !self.is_examination_due() {
            return Ok(());
        }
        let outcome = self.explain(&mut session.client);
        session.restarts = session.client.restarts();
        outcome
    }

    /// An event of this moment, which can be filled in.
    pub(super) fn event(&self, kind: Kind, text: String) -> Event {
        Event::new(self.host.wall(), kind, text)
    }
}

/// Switches what makes the modem tell more, for as long as it is on the line.
pub(super) fn prepare(client: &mut Client<'_>) -> Result<(), ClientError> {
    client.switch("+CMEE", "1")?;
    // What the network sends by itself, and its cause, come only in the fuller report.
    client.switch("+CEREG", "3").map(|_| ())
}
