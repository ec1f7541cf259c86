//! Of what the part of a text speaks in which a line stands: of this modem now, or of something else.
//!
//! ```text
//! heard:                          neighbours, a survey, somebody's phone: what can be received here
//!   - {plmn: "001-01", rat: lte, band: 3}
//! history { … }    previous:      what was
//! From the manual:                a list of what may come
//! limits:                         thresholds, no readings
//! ```
//!
//! A heading rules the lines that stand deeper than itself, or, where none does, those up to the next blank line.
//! Common practice, no source.

use crate::reference::word_lists::{List, words_of};

/// Of what a line speaks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum About {
    /// This modem, now.
    #[default]
    This,
    /// What can be heard at this place: other cells, other receivers.
    Heard,
    /// What was before.
    Past,
    /// What may come, what it means, or from which value on something is done.
    Listing,
    /// Another thing than the modem: a wireless network, a tunnel, the wired side.
    Other,
}

/// The headings above a line.
#[derive(Debug, Default)]
pub(super) struct Scope {
    above: Vec<Heading>,
    /// Where the last line ended.
    end: usize,
}

#[derive(Debug)]
struct Heading {
    indent: usize,
    about: About,
    words: String,
    /// It rules lines at its own depth, too, as none stands deeper.
    flat: bool,
    /// Lines that it rules so far.
    rules: usize,
}

impl Scope {
    /// Takes a line that begins at `at` in and says of what it speaks.
    pub(super) fn enter(&mut self, line: &str, at: usize) -> About {
        /// A line feed; more of them are a blank line.
        const END: usize = 1;
        let blank = at > self.end + END || at < self.end;
        self.end = at + line.len();
        let body = line.trim();
        let indent = indent(line);
        let own = heading(body);
        if blank {
            self.above.retain(|h| indent > h.indent || h.flat && h.rules == 0);
        }
        while let Some(last) = self.above.last_mut() {
            if indent > last.indent {
                last.rules += 1;
                last.flat = false;
                break;
            }
            if last.flat && indent == last.indent && own.is_none() {
                last.rules += 1;
                break;
            }
            self.above.pop();
        }
        let inherited = self.about();
        if let Some(words) = own {
            let about = match of(&words) {
                About::This => inherited,
                about => about,
            };
            let flat = body.ends_with(':');
            self.above.push(Heading { indent, about, words, flat, rules: 0 });
            return about;
        }
        inherited
    }

    /// Of what the lines below the headings so far speak.
    fn about(&self) -> About {
        self.above.last().map_or(About::This, |h| h.about)
    }

    /// The words of the headings above the last line, the nearest first.
    pub(super) fn headings(&self) -> impl Iterator<Item = &str> {
        self.above.iter().rev().map(|h| h.words.as_str())
    }

    /// Whether one of the headings above the last line has one of these words.
    pub(super) fn is_under(&self, names: &[&str]) -> bool {
        self.above.iter().any(|h| has(&h.words, names))
    }
}

fn indent(line: &str) -> usize {
    line.bytes().take_while(u8::is_ascii_whitespace).map(|b| if b == b'\t' { 8 } else { 1 }).sum()
}

/// The words of a heading, in small letters with one blank between: a line that ends in a colon or an opening
/// bracket, or a few words without a value.
fn heading(body: &str) -> Option<String> {
    const MOST: usize = 5;
    let opens = body.ends_with([':', '{', '[']) && !body.starts_with(['{', '[']);
    let bracketed = body.starts_with('[') && body.ends_with(']') && !body.contains(['=', ',']);
    let bare = !body.contains(['=', ':', '|', ','])
        && !body.contains("  ")
        && body.split_ascii_whitespace().count() <= MOST
        && !body.bytes().any(|b| b.is_ascii_digit())
        && body.starts_with(|c: char| c.is_alphabetic());
    (opens || bracketed || bare).then(|| plain(body))
}

fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c.is_alphanumeric() || c == '-' {
            out.extend(c.to_lowercase());
        } else if !out.is_empty() && !out.ends_with(' ') {
            out.push(' ');
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// Whether one of the phrases stands among the words.
pub(super) fn has(words: &str, phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| {
        words.match_indices(phrase).any(|(at, _)| {
            (at == 0 || !words.as_bytes()[at - 1].is_ascii_alphanumeric())
                && !words.as_bytes().get(at + phrase.len()).is_some_and(u8::is_ascii_alphanumeric)
        })
    })
}

fn of(words: &str) -> About {
    /// What a longer heading speaks of is told by a person, who may mean anything with it.
    const SHORT: usize = 6;
    if has(words, words_of(List::HeadingListing)) {
        About::Listing
    } else if words.split(' ').count() > SHORT && !has(words, &["survey", "neighbours", "heard"]) {
        About::This
    } else if has(words, words_of(List::Heard)) {
        About::Heard
    } else if has(words, words_of(List::HeadingPast)) {
        About::Past
    } else if has(words, words_of(List::HeadingOther)) {
        About::Other
    } else {
        About::This
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of what each line of a text speaks.
    fn about(text: &str) -> Vec<About> {
        let mut scope = Scope::default();
        let mut at = 0;
        let mut found = Vec::new();
        for line in text.split_inclusive('\n') {
            let bare = line.trim_end_matches('\n');
            if !bare.trim().is_empty() {
                found.push(scope.enter(bare, at));
            }
            at += line.len();
        }
        found
    }

    #[test]
    fn a_heading_rules_what_stands_deeper() {
        use About::{Heard, Past, This};
        let yaml = "service: up\nheard:\n  - {band: 3}\n  - {band: 8}\nnr-cells: []\n";
        assert_eq!(about(yaml), [This, Heard, Heard, Heard, This]);
        let blocks = "cell {\n  rsrp -78;\n  history {\n    rsrp -98;\n  }\n  pci 4;\n}\n";
        assert_eq!(about(blocks), [This, This, Past, Past, This, This, This]);
    }

    #[test]
    fn a_heading_without_anything_deeper_rules_up_to_a_blank_line() {
        use About::{Listing, This};
        let text = "From the manual:\nE1 SIM not inserted\nE2 denied\n\nSIM: ready\n";
        assert_eq!(about(text), [Listing, Listing, Listing, This]);
        let spaced = "Error codes of it:\n\n  E1 no SIM\n  E2 denied\n\nSIM: ready\n";
        assert_eq!(about(spaced), [Listing, Listing, Listing, This]);
    }
}
