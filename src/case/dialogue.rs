//! What the dialogue itself shows, beside the facts: answers, silence, commands sent, prefixes unread.

use crate::span::Span;

/// What was seen of the dialogue.
#[derive(Debug, Default, Clone)]
pub struct Dialogue {
    /// Commands without any response, in a row at the end of the text.
    pub unanswered: usize,
    /// Where the last of them stands.
    pub unanswered_at: Option<Span>,
    /// Responses of any kind.
    pub answered: usize,
    /// Where the first of them stands.
    pub answered_at: Option<Span>,
    /// Where the last of them ended.
    pub last_answer: Option<Span>,
    /// Responses with a prefix that no family reads, with their count.
    pub unknown: usize,
    /// Responses of a known command in an unknown form.
    pub unknown_form: usize,
    /// Prefixes of vendors' own responses that were understood, in the order in which they came.
    pub vendor_prefixes: Vec<String>,
    /// The card file that stands selected in a dialogue over `+CSIM`.
    pub selected: Option<u16>,
    /// Commands that were sent, without `AT`, in capital letters, each once.
    commands: Vec<String>,
}

impl Dialogue {
    /// So many different commands are kept.
    const MOST_COMMANDS: usize = 256;

    /// Notes a command without its `AT`.
    pub(crate) fn sent(&mut self, command: &str) {
        if self.commands.len() < Self::MOST_COMMANDS && !self.has_sent(command) {
            self.commands.push(command.to_ascii_uppercase());
        }
    }

    /// The commands, without their `AT`, in capital letters.
    pub fn commands(&self) -> impl Iterator<Item = &str> {
        self.commands.iter().map(String::as_str)
    }

    /// Whether a command, without its `AT`, was sent, whatever its case.
    pub fn has_sent(&self, command: &str) -> bool {
        self.commands.iter().any(|sent| sent.eq_ignore_ascii_case(command))
    }
}
