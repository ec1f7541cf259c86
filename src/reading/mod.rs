//! From a capture to a case: each exchange to its response family, each line of words to the free text.

mod exchange;
mod parts;
mod several;
mod unread;

use crate::capture::{Capture, Piece, Stamp};
use crate::case::{Case, Facts};
use crate::free_text::FreeText;
use crate::span::Span;
use parts::Parts;
use std::ops::Range;

pub(crate) use exchange::read as read_exchange;

impl Case {
    /// Reads a whole capture. Where several modems speak in it, this is the case of the last one,
    /// and those before it are its `others`.
    pub fn read(capture: &Capture<'_>) -> Self {
        for parts in Parts::of(capture) {
            let place = |line| capture.origin(Span::new(line, line)).start;
            let read =
                |part| read_part(capture, |line| parts.at(place(line)) == part, 0..usize::MAX);
            let mut cases: Vec<Self> = (0..parts.count).map(read).collect();
            cases.retain(|case| parts.says(case));
            if parts.are_devices(&cases) {
                return Self::of_several(cases);
            }
        }
        let case = read_part(capture, |_| true, 0..usize::MAX);
        let borders = several::borders(&case, capture);
        if borders.is_empty() {
            return case;
        }
        let starts = std::iter::once(0).chain(borders.iter().copied());
        let ends = borders.iter().copied().chain([usize::MAX]);
        let parts = starts.zip(ends).map(|(from, to)| read_part(capture, |_| true, from..to));
        Self::of_several(parts.collect())
    }

    /// The last of several, with those before it.
    fn of_several(mut cases: Vec<Self>) -> Self {
        let mut case = cases.pop().unwrap_or_default();
        case.others = cases;
        case
    }
}

/// Reads the lines that are of a part, and of those what begins in a range of the given text.
fn read_part(capture: &Capture<'_>, is_of: impl Fn(usize) -> bool, part: Range<usize>) -> Case {
    let mut case = Case::default();
    let mut facts = Facts::default();
    let mut words = FreeText::default();
    let all = part == (0..usize::MAX);
    let within = |at: usize| all || part.contains(&capture.origin(Span::new(at, at)).start);
    capture.read_lines(is_of, |piece| match piece {
        Piece::Exchange(exchange) => {
            let first = exchange.lines.first().map_or(exchange.outcome_span, |l| l.span);
            let begin = exchange.command.map_or(first, |_| exchange.command_span);
            if within(begin.start) && !words.is_listing(line_at(capture.plain_text(), begin.start))
            {
                let ends_text = capture.origin(exchange.outcome_span).end >= capture.text().len();
                exchange::read(exchange, ends_text, &mut facts, &mut case.dialogue);
                take(&mut case, &mut facts, exchange.at, capture);
            }
        }
        Piece::Words { line, at, dialogue } if within(at) => {
            words.read(line, at, dialogue, &mut facts);
            take(&mut case, &mut facts, None, capture);
        }
        Piece::Words { .. } => {}
    });
    words.finish(&mut facts);
    take(&mut case, &mut facts, None, capture);
    for span in [
        &mut case.dialogue.unanswered_at,
        &mut case.dialogue.last_answer,
        &mut case.dialogue.answered_at,
        &mut case.dialogue.started_inside,
    ] {
        *span = span.map(|s| capture.origin(s));
    }
    for not_kept in &mut case.dialogue.not_kept {
        not_kept.span = capture.origin(not_kept.span);
    }
    for unread in &mut case.dialogue.unread {
        unread.span = capture.origin(unread.span);
    }
    case.leave_out_the_end();
    case
}

/// The line of a text in which a place stands.
fn line_at(text: &str, at: usize) -> Span {
    let start = memchr::memrchr(b'\n', &text.as_bytes()[..at]).map_or(0, |end| end + 1);
    let end = memchr::memchr(b'\n', &text.as_bytes()[at..]).map_or(text.len(), |n| at + n);
    Span::new(start, end)
}

fn take(case: &mut Case, facts: &mut Facts, at: Option<Stamp>, capture: &Capture<'_>) {
    for (fact, span, by) in facts.drain_reported() {
        case.add(fact, capture.origin(span), at, by);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::{Domain, Power};

    fn case(text: &str) -> Case {
        Case::read(&Capture::new(text))
    }

    #[test]
    fn settings_of_the_session_are_no_states() {
        let listed = case("AT&V\n+CREG: 0; +CGREG: 0;\nOK\n");
        assert!(listed.stat(Domain::Circuit).is_none() && listed.stat(Domain::Packet).is_none());
    }

    #[test]
    fn a_start_in_the_brackets_of_a_log_is_a_start() {
        let text = "<- AT+CGREG?\n-> (RDY)\n-> (+CFUN: 1)\n-> +CGREG: 0,1\n-> OK\n";
        assert!(case(text).device.power.all().iter().any(|o| o.value == Power::Started));
    }
}
