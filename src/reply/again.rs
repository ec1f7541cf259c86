//! Answers that come again word for word: a program that asks every minute gets the same ones for
//! hours. What such an answer says is taken over from the last time instead of being read.

use super::{Fact, Facts};
use crate::capture::Line;
use crate::span::Span;
use compact_str::CompactString;
use smallvec::SmallVec;

/// A command that comes again, by its place among those that were met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Asked(pub(super) usize);

/// The last answer to each command that came again.
#[derive(Debug, Default)]
pub struct Answers {
    to: Vec<Lines>,
}

/// Nearly every command is answered in one line.
type Lines = SmallVec<[Answer; 1]>;

impl Answers {
    /// So many lines of an answer are kept.
    const MOST_LINES: usize = 16;
    /// Longer lines are not kept.
    const LONGEST: usize = 256;
    /// Lines that changed so often are not kept any more: they hold a level that never rests.
    const MOST_CHANGES: u8 = 3;

    /// Notes again what a line said, where it is the one that answered the command last time at this
    /// place; whether it was.
    pub(super) fn tell(&self, asked: Asked, at: usize, line: &Line<'_>, facts: &mut Facts) -> bool {
        let lines = self.to.get(asked.0).map_or(&[][..], SmallVec::as_slice);
        let Some(Answer { says, .. }) = lines.get(at).filter(|a| a.line == line.whole) else {
            return false;
        };
        let start = line.span.start;
        for (fact, span) in says {
            facts.push(fact.clone(), Span::new(start + span.start, start + span.end));
        }
        true
    }

    /// Keeps what was read from a line that answered a command.
    #[inline(never)]
    pub(super) fn keep(
        &mut self,
        asked: Asked,
        at: usize,
        line: &Line<'_>,
        facts: &[(Fact, Span)],
    ) {
        // Nothing of it may stand before the line.
        let inside = facts.iter().all(|(_, span)| span.start >= line.span.start);
        if at >= Self::MOST_LINES || line.whole.len() > Self::LONGEST || !inside {
            return;
        }
        if self.to.len() <= asked.0 {
            self.to.resize_with(asked.0 + 1, Lines::new);
        }
        let lines = &mut self.to[asked.0];
        if lines.len() <= at {
            lines.resize_with(at + 1, Answer::default);
        }
        let answer = &mut lines[at];
        if answer.changes == Self::MOST_CHANGES {
            return;
        }
        answer.changes += 1;
        answer.line.clear();
        answer.line.push_str(line.whole);
        let start = line.span.start;
        answer.says.clear();
        answer.says.extend(
            facts.iter().map(|(fact, span)| {
                (fact.clone(), Span::new(span.start - start, span.end - start))
            }),
        );
    }
}

/// A line that answered a command, and what was read from it.
#[derive(Debug, Default)]
struct Answer {
    line: CompactString,
    /// How often it was another one than before.
    changes: u8,
    /// What it says; spans count from the line's start.
    says: Vec<(Fact, Span)>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::{Capture, Piece};
    use crate::reply::{Seen, read};
    use proptest::prelude::*;

    /// What each exchange of a text says: read with the answers before it in mind, and without.
    fn both(text: &str) -> [Vec<(Fact, Span)>; 2] {
        let (mut with, mut without) = (Facts::default(), Facts::default());
        let (mut seen, mut seen_too) = (Seen::default(), Seen::default());
        let mut answers = Answers::default();
        Capture::new(text).read(|piece| {
            if let Piece::Exchange(exchange) = piece {
                read(exchange, &mut with, &mut seen, &mut answers);
                read(exchange, &mut without, &mut seen_too, &mut Answers::default());
            }
        });
        assert_eq!(seen.unknown_form, seen_too.unknown_form);
        [with, without].map(|facts| facts.found().to_vec())
    }

    const EXCHANGES: &[&str] = &[
        "AT+CSQ\n+CSQ: 17,99\nOK\n",
        "AT+CSQ\n+CSQ: 9,99\nOK\n",
        "AT+CSQ\n+CSQ:17,99\nOK\n",
        "at+csq\n+CSQ: 17,99\nOK\n",
        "AT+CSQ\nOK\n",
        "AT+CSQ\n+CREG: 1\n+CSQ: 17,99\nOK\n",
        "AT+CEREG?\n+CEREG: 2,3,\"0A11\",\"0003A2B1\",7,0,15\nOK\n",
        "AT+CEREG=2\nOK\n",
        "AT+CEREG?;+CSQ\n+CEREG: 2,1\n+CSQ: 17,99\nOK\n",
        "+CEREG: 2,3\n",
        "AT+CEREG?\n+CEREG: 2,3\nI tried it twice: +CSQ: 17,99\nOK\n",
        "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauges.example\"\n+CGDCONT: 2,\"IP\",\"ims\"\nOK\n",
        "AT+CGDCONT?\n+CGDCONT: 2,\"IP\",\"ims\"\n+CGDCONT: 1,\"IP\",\"gauges.example\"\nOK\n",
        "AT+CGDCONT?\n+CGDCONT: 2,\"IP\",\"ims\"\nOK\n",
        "AT+COPS=?\n+COPS: (2,\"Test\",\"Test\",\"00101\",7),,(0-4),(0-2)\nOK\n",
        "AT+CSQ\n+CSQ:\n17,99\nOK\n",
        "AT+CSQ\n+CSQ:\n9,99\nOK\n",
        "AT^HCSQ?\n^HCSQ: \"LTE\",51,46,131,24\nOK\n",
        "AT+CGMR\n+CGMR: A.1\nB.2\nOK\n",
    ];

    proptest! {
        // Of a few exchanges many, so that they come again.
        #[test]
        fn an_answer_that_comes_again_says_the_same(
            of in prop::sample::subsequence(EXCHANGES, 1..=3),
            order in prop::collection::vec(any::<prop::sample::Index>(), 0..12),
        ) {
            let text: String = order.iter().map(|at| *at.get(&of)).collect();
            let [with, without] = both(&text);
            prop_assert_eq!(with, without);
        }
    }

    #[test]
    fn what_was_kept_is_told_where_the_line_stands_now() {
        let asked = "AT+CSQ\n+CSQ: 17,99\nOK\n";
        let [with, without] = both(&asked.repeat(4));
        assert_eq!(with, without);
        let starts: Vec<usize> = with.iter().map(|(_, span)| span.start).collect();
        assert_eq!(starts, [7, 29, 51, 73]);
    }
}
