//! Lines of one letter each, as a program prints them that hands on byte after byte.
//!
//! ```text
//! 12:00:01.120 RX: O
//! 12:00:01.121 RX: K
//! ```

use super::mapped::{Edits, lines};
use super::{log_marks, stamp};
use std::ops::Range;

/// So many letters in a row, each in a line of its own, are a text.
const RUN: usize = 8;

/// Puts lines of one letter together.
pub(super) fn join(text: &str, edits: &mut Edits<'_>) {
    if !may_be_letters(text) {
        return;
    }
    let mut from = 0;
    let all: Vec<(Range<usize>, Piece)> = text
        .split_inclusive('\n')
        .map(|line| {
            let range = from..from + line.len();
            from = range.end;
            (range.clone(), piece(text, range))
        })
        .collect();
    for part in all.chunk_by(|(_, a), (_, b)| (*a == Piece::Line) == (*b == Piece::Line)) {
        let letters = part.iter().filter(|(_, piece)| matches!(piece, Piece::Letter(_))).count();
        if letters >= RUN {
            join_run(text, part, edits);
        }
    }
}

/// Puts the letters of a run one behind the other; a line without one was the end of a line.
fn join_run(text: &str, run: &[(Range<usize>, Piece)], edits: &mut Edits<'_>) {
    let mut begins = true;
    for (range, piece) in run {
        let Piece::Letter(place) = *piece else {
            edits.replace(range.clone(), "\n");
            begins = true;
            continue;
        };
        // The time of the first letter is that of the line.
        if begins {
            stamp::keep_only(text, range.start..place, edits);
        } else {
            edits.remove(range.start..place);
        }
        let letter = text[place..].chars().next().map_or(0, char::len_utf8);
        edits.remove(place + letter..range.end);
        begins = false;
    }
    if let Some((range, _)) = run.last() {
        edits.insert(range.end, "\n");
    }
}

/// Whether enough lines in a row are of one length, or nearly so. A cheap look before the costly one.
fn may_be_letters(text: &str) -> bool {
    const NEARLY: usize = 4;
    let (mut run, mut length) = (0, 0);
    lines(text).any(|line| {
        run = if line.len().abs_diff(length) <= NEARLY { run + 1 } else { 1 };
        length = line.len();
        run >= RUN
    })
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
    let line = text[range.clone()].trim_end_matches(['\r', '\n']);
    let only = |part: &str| {
        let mut letters = part.chars();
        matches!((letters.next(), letters.next()), (Some(_), None))
    };
    // A line of one letter is that letter, even one that could be a mark.
    if only(line) {
        return Piece::Letter(range.start);
    }
    let marks = log_marks::length(line);
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
    use crate::capture::mapped::MappedText;

    fn plain(text: &str) -> String {
        MappedText::original(text)
            .edited(join)
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
            assert_eq!(MappedText::original(text).edited(join).text(), text);
        }
    }
}
