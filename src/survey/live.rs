//! A live modem as a source of readings, asked with reads that change nothing.

use super::reading::{Reading, Source};
use crate::at::{Client, ClientError};
use crate::capture::{Capture, Piece};
use crate::case::{Dialogue, Facts};
use crate::reading::read_exchange;
use crate::response::COMMAND_SETS;
use chrono::{DateTime, Utc};
use std::io;
use std::time::Duration;

/// Further reads beside that of the serving cell: neighbours, the ratio by branch, the place.
const BESIDE: &[(&str, &str)] = &[
    ("AT+QENG=\"servingcell\"", "AT+QENG=\"neighbourcell\""),
    ("AT+QENG=\"servingcell\"", "AT+QSINR"),
    // Where the module has a receiver that is switched on; it is never switched on here.
    ("AT+QENG=\"servingcell\"", "AT+QGPSLOC=2"),
    ("AT+CPSI?", "AT+CGNSINF"),
    ("AT+CPSI?", "AT+CGPSINFO"),
    ("AT#RFSTS", "AT$GPSACP"),
];

/// A live modem.
pub struct Live<'c, 'p> {
    client: &'c mut Client<'p>,
    reads: Vec<&'static str>,
}

impl<'c, 'p> Live<'c, 'p> {
    /// Wakes the modem, at another speed of the line too where `search_speed` is set, and finds out
    /// which reads it answers: the standard ones, and cell, antenna branches and neighbours in its
    /// vendor command set.
    ///
    /// # Errors
    ///
    /// As the line.
    pub fn begin(client: &'c mut Client<'p>, search_speed: bool) -> Result<Self, ClientError> {
        if !client.wake(search_speed)? {
            return Err(ClientError::Silent);
        }
        let reads = answered_reads(client)?;
        Ok(Self { client, reads })
    }

    /// Puts back what waking the modem switched; gives the commands that it did not take.
    pub fn end(self) -> Vec<String> {
        self.client.restore()
    }
}

/// The reads that a modem answers which is awake: the standard ones, and cell, antenna branches and neighbours in its
/// vendor command set. Their dialogue is not kept.
pub(crate) fn answered_reads(client: &mut Client<'_>) -> Result<Vec<&'static str>, ClientError> {
    let mut reads = Vec::new();
    for command in ["AT+CESQ", "AT+CSQ", "AT+CEREG?"] {
        if client.ask(command)?.is_ok() {
            reads.push(command);
        }
    }
    let mut answers = |command: &'static str| -> Result<bool, ClientError> {
        let answer = client.ask(command)?;
        Ok(answer.is_ok() && !answer.lines.is_empty())
    };
    // The first command set that is answered is the modem's own.
    for set in COMMAND_SETS {
        if !answers(set.cell)? {
            continue;
        }
        reads.push(set.cell);
        let beside = BESIDE.iter().filter(|(cell, _)| *cell == set.cell);
        for further in set.branches.into_iter().chain(beside.map(|(_, read)| *read)) {
            if answers(further)? {
                reads.push(further);
            }
        }
        break;
    }
    client.take_recorded();
    Ok(reads)
}

/// The reading that a recorded round of these reads gives.
pub(crate) fn reading_of(text: &str, at: DateTime<Utc>, took: Duration) -> Reading {
    let mut rounds = Vec::new();
    let mut dialogue = Dialogue::default();
    Capture::new(text).read(|piece| {
        if let Piece::Exchange(exchange) = piece {
            let mut facts = Facts::default();
            read_exchange(exchange, false, &mut facts, &mut dialogue);
            let indexed = exchange.command.is_some_and(|c| c.eq_ignore_ascii_case("+CESQ"));
            rounds.push((indexed, facts));
        }
    });
    let rounds = rounds.iter().map(|(indexed, facts)| {
        (*indexed, facts.found().iter().map(|(fact, _)| fact).collect::<Vec<_>>())
    });
    Reading::from_rounds(rounds, at, took)
}

impl Source for Live<'_, '_> {
    fn read(&mut self) -> io::Result<Option<Reading>> {
        let begin = self.client.now();
        for command in &self.reads {
            match self.client.ask(command) {
                Ok(_) => {}
                Err(ClientError::Stopped) => return Ok(None),
                Err(ClientError::Silent) => {
                    return Err(io::Error::new(
                        io::ErrorKind::TimedOut,
                        "the modem does not answer",
                    ));
                }
                Err(error) => return Err(io::Error::other(error.to_string())),
            }
        }
        let took = self.client.now().duration_since(begin);
        // Taken, so that memory does not grow with the length of a survey.
        let text = self.client.take_recorded();
        Ok(Some(reading_of(&text, Utc::now(), took)))
    }
}
