//! The same text with its secrets replaced by stand-ins, ready to be passed on.
//!
//! Line by line and of the same length: the same secret has the same stand-in wherever it stands, and what the
//! diagnosis reads stays. Network codes, issuer digits, whether a check digit is right, and special addresses are
//! as they were, so the verdict is, too. A secret that a dump, a wrap or a split hides from a plain search is found
//! in the text that [`Capture`] makes ready, and replaced where it stands in the given one.

mod stand_in;

use crate::capture::Capture;
use crate::identity::{Secret, SecretKind, secrets};
use crate::span::Span;
use stand_in::StandIns;

/// The text with every secret replaced.
pub fn redact(text: &str) -> String {
    let mut stand_ins = StandIns::default();
    let whole = Span::new(0, text.len());
    replaced(&Capture::new(text), whole, |secret, found| stand_ins.of(secret, found))
}

/// Whole lines of a captured text with every secret hidden; letters and digits become `x`.
pub(crate) fn masked(capture: &Capture<'_>, lines: Span) -> String {
    replaced(capture, lines, |secret, found| {
        let hide = |(at, c): (usize, char)| {
            let shown = at < secret.keep || !c.is_alphanumeric() && secret.kind != SecretKind::Word;
            if shown { c } else { hidden(c) }
        };
        found.char_indices().map(hide).collect()
    })
}

/// An `x` of as many bytes as the character that it hides.
const fn hidden(c: char) -> char {
    match c.len_utf8() {
        1 => 'x',
        2 => '\u{d7}',
        3 => '\u{ff58}',
        _ => '\u{1d5d1}',
    }
}

/// Some lines with every secret replaced by what `other` makes of it, a text of as many characters.
fn replaced(
    capture: &Capture<'_>,
    lines: Span,
    mut other: impl FnMut(&Secret, &str) -> String,
) -> String {
    let mut edits = Edits::new(lines.of(capture.text()), lines.start);
    let reach = capture.plain_lines(lines);
    let plain = reach.of(capture.plain_text());
    for secret in secrets(plain) {
        let found = &plain[secret.range.clone()];
        let new = other(&secret, found);
        for ((at, old), new) in found.char_indices().zip(new.chars()) {
            let start = reach.start + secret.range.start + at;
            let origin = capture.origin(Span::new(start, start + old.len_utf8()));
            if lines.start <= origin.start && origin.end <= lines.end {
                edits.replace(origin, old, new);
            }
        }
    }
    let text = edits.finish();
    // What no pass of the capture left in the plain text: markup, what stands beside a dump.
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    let mut touched = edits.touched.iter().peekable();
    for secret in secrets(&text) {
        while touched.next_if(|t| t.end <= secret.range.start).is_some() {}
        if touched.peek().is_some_and(|t| t.start < secret.range.end) {
            continue;
        }
        out.push_str(&text[from..secret.range.start]);
        out.push_str(&other(&secret, &text[secret.range.clone()]));
        from = secret.range.end;
    }
    out.push_str(&text[from..]);
    out
}

/// Replacements of single characters, wherever and however they are written.
struct Edits<'t> {
    text: &'t str,
    /// Where the text begins in that which places are counted in.
    base: usize,
    /// What stands at a place of the text instead, in any order.
    made: Vec<(Span, String)>,
    /// The ranges that were replaced, as they stand in the text, in any order.
    touched: Vec<Span>,
}

impl<'t> Edits<'t> {
    fn new(text: &'t str, base: usize) -> Self {
        Self { text, base, made: Vec::new(), touched: Vec::new() }
    }

    /// Replaces a character that is written at `origin` as itself or as its code.
    fn replace(&mut self, origin: Span, old: char, new: char) {
        let origin = Span::new(origin.start - self.base, origin.end - self.base);
        let written = origin.of(self.text);
        let instead = if old == new {
            written.to_owned()
        } else if written.chars().eq([old]) {
            new.to_string()
        } else {
            coded(written, old, new)
        };
        match self.touched.last_mut().filter(|last| last.end == origin.start) {
            Some(last) => last.end = origin.end,
            None => self.touched.push(origin),
        }
        self.made.push((origin, instead));
    }

    fn finish(&mut self) -> String {
        self.made.sort_by_key(|(span, _)| *span);
        self.touched.sort_unstable();
        let mut out = String::with_capacity(self.text.len());
        let mut from = 0;
        for (span, instead) in &self.made {
            if span.start >= from {
                out.push_str(&self.text[from..span.start]);
                out.push_str(instead);
                from = span.end;
            }
        }
        out.push_str(&self.text[from..]);
        out
    }
}

/// The code of another character, written as that of `old` is: `30`, `0x30`, `=30`. Where the code is not found,
/// nothing of what is written there stays.
fn coded(written: &str, old: char, new: char) -> String {
    let code = |c: char| format!("{:02x}", u32::from(c));
    let lower = written.to_ascii_lowercase();
    match (lower.find(&code(old)), old.is_ascii() && new.is_ascii()) {
        (Some(at), true) => {
            let new = code(new);
            let upper = written[at..at + 2].bytes().any(|b| b.is_ascii_uppercase());
            let new = if upper { new.to_ascii_uppercase() } else { new };
            format!("{}{new}{}", &written[..at], &written[at + 2..])
        }
        _ => match written.rfind(old) {
            Some(at) => format!("{}{new}{}", &written[..at], &written[at + old.len_utf8()..]),
            None => {
                written.chars().map(|c| if c.is_alphanumeric() { hidden(c) } else { c }).collect()
            }
        },
    }
}

#[cfg(test)]
mod tests;
