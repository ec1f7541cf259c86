//! What the dialogue itself shows, beside the facts: answers, silence, commands sent, what was not understood.

use crate::span::Span;
use schemars::JsonSchema;
use serde::Serialize;

/// A part of the text that has the shape of dialogue and was not understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Where it stands.
    pub span: Span,
    /// Why it was not understood.
    pub why: Why,
    /// The command that it answers, as sent.
    pub request: Option<String>,
    /// The number of an error that no table has.
    pub error: Option<u16>,
}

/// Why a part of the text was not understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// No response of this command is known.
    UnknownCommand,
    /// The command is known, this form of its response is not.
    UnknownForm,
    /// The line is known, its words or its number have no known meaning.
    UnknownWords,
}

impl Why {
    /// The reason in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnknownCommand => "no response of this command is known",
            Self::UnknownForm => "this form of the response is not known",
            Self::UnknownWords => "these words have no known meaning",
        }
    }
}

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
    /// What has the shape of dialogue and was not understood, in order; at most [`Self::MOST_UNREAD`].
    pub unread: Vec<Unread>,
    /// How many further ones there were.
    pub unread_more: usize,
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

    /// So many parts that were not understood are kept.
    pub const MOST_UNREAD: usize = 200;

    /// Notes a part of the text that was not understood.
    pub(crate) fn not_understood(&mut self, unread: Unread) {
        if self.unread.len() < Self::MOST_UNREAD {
            self.unread.push(unread);
        } else {
            self.unread_more += 1;
        }
    }

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
