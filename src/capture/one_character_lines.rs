//! Lines of one letter each, as a program prints them that hands on byte after byte.
//!
//! ```text
//! 12:00:01.120 RX: O
//! 12:00:01.121 RX: K
//! ```

use super::normal::{Builder, Normal, upon};
use super::{prefix, stamp};
use std::ops::Range;

/// So many letters in a row, each in a line of its own, are a text.
const RUN: usize = 8;

/// The text with lines of one letter put together; the same where there are none.
pub(super) fn joined(normal: Normal<'_>) -> Normal<'_> {
    upon(normal, together)
}

fn together(normal: &Normal<'_>) -> Option<Normal<'static>> {
    if !may_be_letters(normal) {
        return None;
    }
    let text = normal.text();
    let lines: Vec<(Range<usize>, Piece)> = text
        .split('\n')
        .map(|line| {
            let start = line.as_ptr() as usize - text.as_ptr() as usize;
            let range = start..start + line.len();
            (range.clone(), piece(text, range))
        })
        .collect();
    let mut builder = Builder::new(text);
    let mut found = false;
    for part in lines.chunk_by(|(_, a), (_, b)| (*a == Piece::Line) == (*b == Piece::Line)) {
        let (first, last) = (part[0].0.start, part[part.len() - 1].0.end);
        let letters = part.iter().filter(|(_, piece)| matches!(piece, Piece::Letter(_))).count();
        if letters >= RUN {
            found = true;
            join(text, part, &mut builder);
        } else {
            builder.copy(first, (last + 1).min(text.len()));
        }
    }
    found.then(|| builder.finish())
}

/// Puts the letters of a run one behind the other; a line without one was the end of a line.
fn join(text: &str, run: &[(Range<usize>, Piece)], builder: &mut Builder<'_>) {
    let mut begins = true;
    for (range, piece) in run {
        let Piece::Letter(place) = *piece else {
            builder.replace(range.start, "\n");
            begins = true;
            continue;
        };
        // The time of the first letter is that of the line.
        if let Some(time) = stamp::place(&text[range.start..place]).filter(|_| begins) {
            builder.replace(range.start + time.start, "[");
            builder.copy(range.start + time.start, range.start + time.end);
            builder.replace(range.start + time.end, "] ");
        }
        let letter = text[place..].chars().next().map_or(0, char::len_utf8);
        builder.copy(place, place + letter);
        begins = false;
    }
    if let Some((range, _)) = run.last() {
        builder.replace(range.end, "\n");
    }
}

/// Whether enough lines in a row are of one length, or nearly so. A cheap look before the costly one.
fn may_be_letters(normal: &Normal<'_>) -> bool {
    const NEARLY: usize = 4;
    let lines = normal.lines();
    let (mut run, mut length, mut behind) = (0, 0, 0);
    // A line that is an item has more than a letter.
    for &at in normal.unknown() {
        let len = lines[at].end - lines[at].start;
        let like = at == behind && len.abs_diff(length) <= NEARLY;
        run = if like { run + 1 } else { 1 };
        (length, behind) = (len, at + 1);
        if run >= RUN {
            return true;
        }
    }
    false
}

/// What a line holds behind a logger's marks.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Piece {
    /// One letter, and where it stands.
    Letter(usize),
    /// Nothing: the byte was a line end.
    Nothing,
    /// More than one letter.
    Line,
}

fn piece(text: &str, range: Range<usize>) -> Piece {
    let line = text[range.clone()].trim_end_matches('\r');
    let only = |part: &str| {
        let mut letters = part.chars();
        matches!((letters.next(), letters.next()), (Some(_), None))
    };
    // A line of one letter is that letter, even one that could be a mark.
    if only(line) {
        return Piece::Letter(range.start);
    }
    let marks = prefix::length(line);
    let rest = line[marks..].trim_end();
    match rest {
        // Two blanks behind the marks are the usual one and a letter.
        "" if line.ends_with("  ") => Piece::Letter(range.start + line.len() - 1),
        "" => Piece::Nothing,
        rest if only(rest) => Piece::Letter(range.start + marks),
        _ => Piece::Line,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> String {
        let lines = joined(Normal::same(text));
        lines
            .text()
            .lines()
            .map(str::trim_end)
            .filter(|l| !l.is_empty())
            .collect::<Vec<_>>()
            .join("/")
    }

    #[test]
    fn letters_in_lines_of_their_own_are_a_text() {
        let bare: String = "AT+CREG?\r+CREG: 0,3".chars().map(|c| format!("{c}\n")).collect();
        assert_eq!(
            plain(&format!("it prints\n{bare}for ever\n")),
            "it prints/AT+CREG?/+CREG: 0,3/for ever"
        );
        let logged: String = "+CREG: 0,3\nOK"
            .chars()
            .enumerate()
            .map(|(n, c)| format!("12:00:0{}.120 RX: {c}\n", n % 10))
            .collect();
        assert_eq!(plain(&logged), "[12:00:00.120] +CREG: 0,3/[12:00:01.120] OK");
    }

    #[test]
    fn short_lines_stay() {
        for text in ["AT\nOK\nAT\nOK\nAT\nOK\nAT\nOK\n", "1\n2\n3\nand so on\n"] {
            assert_eq!(joined(Normal::same(text)).text(), text);
        }
    }
}
