//! The log of a dialler's script: what it sends, what it waits for, and when it gives up waiting.
//!
//! ```text
//! send (AT^M)
//! expect (OK)
//! alarm
//! ```
//!
//! From chat(8): each `expect` is followed by what came, or by `alarm` once its time is over.

use crate::case::{Fact, Facts, Host, ReportedBy};
use crate::span::Span;

/// Where the script stands.
#[derive(Debug, Default)]
pub(super) struct Chat {
    seen: bool,
    /// The answer that it waits for, and nothing has come since.
    waits: Option<Span>,
}

impl Chat {
    /// Reads a line; whether it is one of the script's own.
    pub(super) fn read(&mut self, line: &str, base: usize, facts: &mut Facts) -> bool {
        let lower = line.trim().to_ascii_lowercase();
        let payload = lower.rsplit("]: ").next().unwrap_or(&lower);
        let span = Span::new(base, base + line.trim_end().len());
        let own = ["abort on (", "timeout set", "send (", "expect (", "report (", "saying '"];
        if payload.starts_with("expect (") {
            self.seen = true;
            self.waits = Some(span);
        } else if own.iter().any(|word| payload.starts_with(word)) {
            self.seen = true;
        } else if self.seen && payload == "alarm" {
            self.waits = None;
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Host(Host::SaidSilent), span);
        } else {
            // Anything else that was printed came from the port, or is of another program.
            if self.seen && !payload.is_empty() {
                self.waits = None;
            }
            return false;
        }
        true
    }

    /// Notes a script that still waits at the end of the text.
    pub(super) fn finish(&self, facts: &mut Facts) {
        if let Some(at) = self.waits {
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Host(Host::SaidSilent), at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn silent(lines: &[&str]) -> bool {
        let (mut chat, mut facts) = (Chat::default(), Facts::default());
        for line in lines {
            chat.read(line, 0, &mut facts);
        }
        chat.finish(&mut facts);
        !facts.found().is_empty()
    }

    #[test]
    fn a_script_that_waits_in_vain() {
        assert!(silent(&["send (AT^M)", "expect (OK)"]));
        assert!(silent(&["gate chat[7]: expect (OK)", "gate chat[7]: alarm"]));
        assert!(!silent(&["send (AT^M)", "expect (OK)", "AT^M^M", "OK", " -- got it"]));
        assert!(!silent(&["alarm"]));
    }
}
