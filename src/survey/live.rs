//! A live modem as a source of readings, asked with reads that change nothing.

use super::reading::{Reading, Source};
use crate::capture::Capture;
use crate::modem::{Client, ClientError, patience};
use crate::reply::{self, Facts, Seen};
use std::io;
use std::time::Duration;

/// Reads that tell the serving cell in makers' dialects; the first that answers is kept.
const CELL_READS: &[&str] = &[
    "AT+QENG=\"servingcell\"",
    "AT+CPSI?",
    "AT^HCSQ?",
    "AT%XMONITOR",
    "AT!GSTATUS?",
    "AT#RFSTS",
    "AT^SMONI",
    "AT+GTCCINFO?",
];

/// A live modem.
pub struct Live<'c, 'p> {
    client: &'c mut Client<'p>,
    reads: Vec<&'static str>,
}

impl<'c, 'p> Live<'c, 'p> {
    /// Finds out which reads this modem answers.
    ///
    /// # Errors
    ///
    /// As the line.
    pub fn begin(client: &'c mut Client<'p>) -> Result<Self, ClientError> {
        client.ask("AT", Duration::from_secs(2))?;
        let mut reads = Vec::new();
        for command in ["AT+CESQ", "AT+CSQ", "AT+CEREG?"] {
            if client.ask(command, patience(command))?.is_ok() {
                reads.push(command);
            }
        }
        for command in CELL_READS {
            let answer = client.ask(command, patience(command))?;
            if answer.is_ok() && !answer.lines.is_empty() {
                reads.push(command);
                break;
            }
        }
        Ok(Self { client, reads })
    }
}

impl Source for Live<'_, '_> {
    fn read(&mut self) -> io::Result<Option<Reading>> {
        let before = self.client.recorded().len();
        let begin = self.client.now();
        for command in &self.reads {
            match self.client.ask(command, patience(command)) {
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
        let mut facts = Facts::default();
        let mut seen = Seen::default();
        Capture::new(&self.client.recorded()[before..])
            .read(|exchange| reply::read(exchange, &mut facts, &mut seen), |_, _, _| {});
        Ok(Some(Reading::from_facts(
            facts.found().iter().map(|(f, _)| f),
            chrono::Utc::now(),
            took,
        )))
    }
}
