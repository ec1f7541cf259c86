//! A modem that answers from a saved capture: each command with what was answered then.

use super::machine::{Machine, Sent};
use crate::capture::{Capture, Outcome, Piece};
use std::collections::HashMap;
use std::time::Duration;

/// Answers from a capture; a command that the capture does not hold is an error.
#[derive(Clone, Debug, Default)]
pub struct Replay {
    answers: HashMap<String, Vec<String>>,
    turn: HashMap<String, usize>,
    line: Vec<u8>,
}

impl Replay {
    /// Takes the exchanges of a capture.
    pub fn of(text: &str) -> Self {
        let capture = Capture::new(text);
        let mut answers: HashMap<String, Vec<String>> = HashMap::new();
        capture.read(|piece| {
            let Piece::Exchange(exchange) = piece else { return };
            let Some(command) = exchange.command else { return };
            let mut out = String::new();
            for line in exchange.lines {
                let shown = if line.prefix.is_empty() {
                    line.text.to_owned()
                } else {
                    format!("{}: {}", line.prefix, line.text)
                };
                out.push_str(&format!("\r\n{shown}\r\n"));
            }
            let result = match exchange.outcome {
                Outcome::Error { list: "", .. } => "ERROR".into(),
                Outcome::Error { list, text } => format!("+{list} ERROR: {}", text.trim()),
                Outcome::NoCarrier => "NO CARRIER".into(),
                _ => "OK".into(),
            };
            out.push_str(&format!("\r\n{result}\r\n"));
            answers.entry(command.to_ascii_uppercase()).or_default().push(out);
        });
        Self { answers, turn: HashMap::new(), line: Vec::new() }
    }
}

impl Machine for Replay {
    fn feed(&mut self, bytes: &[u8], _: Duration) -> Vec<Sent> {
        let mut sent = Vec::new();
        for &byte in bytes {
            if byte != b'\r' {
                if byte != b'\n' && self.line.len() < 2048 {
                    self.line.push(byte);
                }
                continue;
            }
            let line = String::from_utf8_lossy(&std::mem::take(&mut self.line))
                .trim()
                .to_ascii_uppercase();
            let Some(command) = line.strip_prefix("AT") else { continue };
            let turn = self.turn.entry(command.to_owned()).or_default();
            let text = match self.answers.get(command) {
                // The last answer repeats.
                Some(list) => list[(*turn).min(list.len() - 1)].clone(),
                None if command.is_empty() || command.starts_with('E') => "\r\nOK\r\n".into(),
                None => "\r\nERROR\r\n".into(),
            };
            *turn += 1;
            sent.push(Sent::new(5, format!("{line}\r{text}")));
        }
        sent
    }
}
