//! Lines of words, one after the other: where a letter or a page was wrapped, a sentence goes on in
//! the next line.

use super::keywords::readings;
use super::mention;
use crate::case::{Fact, Facts};
use crate::span::Span;

/// Reads lines of words, and remembers the last one that can tell something.
#[derive(Debug, Default)]
pub(crate) struct Sentences<'t> {
    before: Option<Before<'t>>,
}

#[derive(Debug)]
struct Before<'t> {
    line: &'t str,
    at: usize,
    dialogue: bool,
    told: Vec<Fact>,
}

impl<'t> Sentences<'t> {
    /// Reads a line that begins at `at`; `dialogue` where dialogue stands in it, too.
    pub(crate) fn read(&mut self, line: &'t str, at: usize, dialogue: bool, facts: &mut Facts) {
        /// A line end is no longer.
        const END: usize = 2;
        let found = readings(line);
        let before = self.before.take();
        if !found.is_empty() {
            let begun = facts.found().len();
            mention::read(line, found, at, dialogue, facts);
            let told = facts.found()[begun..].iter().map(|(fact, _)| fact.clone()).collect();
            self.before = Some(Before { line, at, dialogue, told });
        }
        if let Some(before) = before.filter(|b| at <= b.at + b.line.len() + END) {
            before.goes_on(line, at, dialogue, facts);
        }
    }
}

impl Before<'_> {
    /// Reads what neither line tells alone.
    fn goes_on(&self, line: &str, at: usize, dialogue: bool, facts: &mut Facts) {
        let head = self.line.trim_end();
        let rest = line.trim_start_matches([' ', '\t', '>', '|', '*']);
        if head.ends_with(['.', '!', ';', '{', '}']) || is_logged(rest) {
            return;
        }
        let both = format!("{head} {rest}");
        let mut told = Facts::default();
        mention::read(&both, readings(&both), 0, self.dialogue || dialogue, &mut told);
        let place = |p: usize| {
            if p <= head.len() {
                self.at + p
            } else {
                at + line.len() - rest.len() + p - head.len() - 1
            }
        };
        for (fact, span) in told.drain() {
            let known = self.told.contains(&fact) || facts.found().iter().any(|(f, _)| *f == fact);
            if !known {
                facts.push(fact, Span::new(place(span.start), place(span.end)));
            }
        }
    }
}

/// Whether a line begins as one of a log, which is no rest of another.
fn is_logged(line: &str) -> bool {
    let begun = &line.as_bytes()[..line.len().min(8)];
    match begun.first() {
        Some(b'[' | b'<' | b'{' | b'#' | b'/') => true,
        Some(b'0'..=b'9') => begun.contains(&b':'),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::case::{Domain, Quantity};

    fn case_of(text: &str) -> Case {
        Case::read(&Capture::new(text))
    }

    #[test]
    fn a_sentence_goes_on_in_the_next_line() {
        let text = "A new card. Now with +CGREG? it gives\n0,5 , so is that good\n";
        let case = case_of(text);
        let o = case.stat(Domain::Packet).unwrap();
        assert_eq!(o.value.stat, 5);
        assert!(o.span.of(text).contains("0,5"), "{}", o.span.of(text));
        let quoted = case_of("> Now with +CGREG? it gives\n> 0,5 , so is that good\n");
        assert_eq!(quoted.stat(Domain::Packet).map(|o| o.value.stat), Some(5));
        let page = case_of("RSRP\n-102 dBm\n");
        assert_eq!(page.level(Quantity::Rsrp).and_then(|(v, _)| v), Some(-102.0));
    }

    #[test]
    fn what_a_line_tells_alone_is_told_once() {
        let case = case_of("EPS registration: denied\nand then nothing\n");
        assert_eq!(case.registration.states.of(Domain::Eps).all().len(), 1);
        for apart in ["RSRP\n\n\n-102 dBm\n", "RSRP.\n-102 dBm\n", "RSRP\n[1] -102 dBm\n"] {
            assert!(case_of(apart).level(Quantity::Rsrp).is_none(), "{apart}");
        }
    }
}
