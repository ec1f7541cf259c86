//! Lines to exchanges: a command, the lines that answer it, its final result.

use super::item::{Item, Kind};
use super::stamp::Stamp;
use crate::span::Span;

/// How a line of a response ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// At a line end, or where something else begins: nothing of it is missing.
    Complete,
    /// With the text, without a line end: its last value may be the beginning of a longer one.
    WithText,
    /// Within a quoted text that was never closed: something of it is missing.
    OpenQuote,
}

impl Ending {
    /// That of a body; `with_text` where the text ends directly behind it.
    fn of(body: &str, with_text: bool) -> Self {
        if memchr::memchr_iter(b'"', body.as_bytes()).count() % 2 == 1 {
            Self::OpenQuote
        } else if with_text {
            Self::WithText
        } else {
            Self::Complete
        }
    }
}

/// A line of the text in which words stand beside a response.
#[derive(Clone, Copy, Debug)]
pub struct Sentence<'t> {
    /// The whole line.
    pub text: &'t str,
    /// Where it begins in the plain text.
    pub at: usize,
}

/// A line of an answer.
#[derive(Clone, Copy, Debug)]
pub struct Line<'t> {
    /// The prefix with its sign; empty for a plain line.
    pub prefix: &'t str,
    /// The text after the prefix, or the whole plain line without log marks.
    pub text: &'t str,
    /// Where the text begins in the plain text.
    pub text_at: usize,
    /// Where prefix and text stand in the plain text.
    pub span: Span,
    /// The sentence among whose words it stands.
    pub sentence: Option<Sentence<'t>>,
    /// When it was logged.
    pub at: Option<Stamp>,
    /// How it ends.
    pub ending: Ending,
}

/// How an exchange ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome<'t> {
    /// `OK`
    Ok,
    /// `ERROR`, with the text of `+CME ERROR` or `+CMS ERROR`.
    Error {
        /// `CME`, `CMS`, or empty.
        list: &'t str,
        /// The number or words behind it.
        text: &'t str,
    },
    /// `NO CARRIER` and its like.
    NoCarrier,
    /// `CONNECT`
    Connect,
    /// The next command, or the end of the text, came first.
    Missing,
}

/// A command with its answer, or lines that no command asked for.
#[derive(Debug)]
pub struct Exchange<'a, 't> {
    /// What follows `AT`; `None` where no command is seen.
    pub command: Option<&'t str>,
    /// Where the command stands.
    pub command_span: Span,
    /// The answering lines in order, unsolicited ones among them.
    pub lines: &'a [Line<'t>],
    /// How it ended.
    pub outcome: Outcome<'t>,
    /// Where the result stands.
    pub outcome_span: Span,
    /// The sentence among whose words the result stands.
    pub outcome_sentence: Option<Sentence<'t>>,
    /// When the last line was logged.
    pub at: Option<Stamp>,
    /// Whether the text begins with it and without its command: lines of a list may be missing.
    pub begins_cut: bool,
    /// Whether the text ends within it: further lines and the result may be missing.
    pub ends_cut: bool,
}

/// A piece of a capture as it is read.
#[derive(Debug)]
pub enum Piece<'a, 't> {
    /// An exchange.
    Exchange(&'a Exchange<'a, 't>),
    /// A whole line that holds a person's or a host's words.
    Words {
        /// The line.
        line: &'t str,
        /// Where it begins in the plain text.
        at: usize,
        /// Whether dialogue stands in it.
        dialogue: bool,
    },
}

/// The most lines that one exchange has; the longest response, the list of operators' names, stays well below. Lines
/// that nothing ends, such as those of a host's log, are handed out in pieces of this length.
const MOST_LINES: usize = 4096;

/// Gathers lines into exchanges and hands each to `done`.
pub(super) struct Gatherer<'t, F> {
    done: F,
    lines: Vec<Line<'t>>,
    command: Option<(&'t str, Span)>,
    at: Option<Stamp>,
    /// Where the text ends, without a line end behind it.
    text_end: Option<usize>,
    /// Whether an exchange was handed out.
    any: bool,
    /// The sentence in which the item stands that was taken last.
    sentence: Option<Sentence<'t>>,
}

impl<'t, F: FnMut(Piece<'_, 't>)> Gatherer<'t, F> {
    /// Starts with nothing gathered of a text.
    pub(super) fn new(text: &str, done: F) -> Self {
        let text_end = Some(text.len()).filter(|_| !text.ends_with(['\n', '\r']));
        let lines = Vec::with_capacity(8);
        Self { done, lines, command: None, at: None, text_end, any: false, sentence: None }
    }

    /// Takes an item of a line that begins at `base` in the plain text.
    pub(super) fn item(&mut self, line: &'t str, base: usize, item: &Item, at: Option<Stamp>) {
        if at.is_some() {
            self.at = at;
        }
        let span = Span::new(base + item.start, base + item.end);
        let text = &line[item.text_at..item.end.max(item.text_at)];
        self.sentence = item.in_sentence.then_some(Sentence { text: line, at: base });
        match item.kind {
            // A command named in a sentence was not sent now.
            Kind::Command if item.in_sentence => {}
            Kind::Command => self.command(text.trim(), span),
            Kind::Prefixed => self.line(Line {
                prefix: &line[item.prefix_start..item.prefix_end],
                text,
                text_at: base + item.text_at,
                span,
                sentence: self.sentence,
                at,
                ending: Ending::of(text, self.text_end == Some(span.end)),
            }),
            Kind::Ok => self.finish(Outcome::Ok, span),
            Kind::Connect => self.finish(Outcome::Connect, span),
            Kind::NoCarrier => self.finish(Outcome::NoCarrier, span),
            Kind::Error => {
                let list = line[item.start..item.prefix_end].trim_start_matches('+');
                self.finish(Outcome::Error { list, text }, span);
            }
        }
    }

    fn command(&mut self, text: &'t str, span: Span) {
        let again = self.lines.is_empty()
            && self.command.is_some_and(|(c, _)| c.eq_ignore_ascii_case(text));
        if again && !text.is_empty() {
            return;
        }
        self.finish(Outcome::Missing, span);
        self.command = Some((text, span));
    }

    /// Takes a line without any item.
    pub(super) fn plain(&mut self, text: &'t str, base: usize, at: Option<Stamp>) {
        if at.is_some() {
            self.at = at;
        }
        let span = Span::new(base, base + text.len());
        let ending = Ending::of(text, self.text_end == Some(span.end));
        let prefix = "";
        self.line(Line { prefix, text, text_at: base, span, sentence: None, at, ending });
    }

    fn line(&mut self, line: Line<'t>) {
        if self.lines.len() == MOST_LINES {
            self.finish(Outcome::Missing, Span::new(line.span.start, line.span.start));
        }
        self.lines.push(line);
    }

    /// Hands out a line of words.
    pub(super) fn words(&mut self, line: &'t str, at: usize, dialogue: bool) {
        (self.done)(Piece::Words { line, at, dialogue });
    }

    /// Hands out what is gathered when the text ends, at `end`.
    pub(super) fn end(&mut self, end: usize) {
        if self.command.is_some() || !self.lines.is_empty() {
            self.hand_out(Outcome::Missing, Span::new(end, end), true);
        }
    }

    /// Hands out what is gathered.
    pub(super) fn finish(&mut self, outcome: Outcome<'t>, outcome_span: Span) {
        if self.command.is_some() || !self.lines.is_empty() || outcome != Outcome::Missing {
            self.hand_out(outcome, outcome_span, false);
        }
    }

    fn hand_out(&mut self, outcome: Outcome<'t>, outcome_span: Span, ends_cut: bool) {
        let command = self.command.take();
        (self.done)(Piece::Exchange(&Exchange {
            command: command.map(|c| c.0),
            command_span: command.map_or(outcome_span, |c| c.1),
            lines: &self.lines,
            outcome,
            outcome_span,
            outcome_sentence: self.sentence.filter(|_| outcome != Outcome::Missing),
            at: self.at,
            begins_cut: command.is_none() && !self.any,
            ends_cut,
        }));
        self.any = true;
        self.lines.clear();
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_LINES, Outcome, Piece};
    use crate::capture::Capture;

    #[test]
    fn lines_that_nothing_ends_come_in_pieces() {
        let text = "fan speed 40 percent\n".repeat(2 * MOST_LINES + 1) + "AT+CSQ\n+CSQ: 9,99\nOK\n";
        let mut lengths = Vec::new();
        let mut commands = Vec::new();
        let capture = Capture::new(&text);
        capture.read(|piece| {
            if let Piece::Exchange(exchange) = piece {
                lengths.push(exchange.lines.len());
                commands.push((exchange.command, exchange.outcome));
            }
        });
        assert_eq!(lengths, [MOST_LINES, MOST_LINES, 1, 1]);
        assert_eq!(commands[3], (Some("+CSQ"), Outcome::Ok));
        assert!(commands[..3].iter().all(|c| *c == (None, Outcome::Missing)));
    }
}
