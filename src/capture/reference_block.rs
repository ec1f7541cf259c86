//! What a book says, copied into a text: lines under a heading that names a manual and what it says there.
//!
//! ```text
//! From the manual, chapter "errors":
//!   E31  SIM not inserted (+CME ERROR: 10)
//!   E41  network not found (+CEREG: 2)
//! ```
//!
//! Such lines say what may be, not what is. Common practice, no source.

use super::mapped::lines;
use std::ops::Range;

/// What names a book.
const BOOKS: [&str; 8] = [
    "manual",
    "datasheet",
    "data sheet",
    "handbook",
    "documentation",
    "user guide",
    "specification says",
    "list of errors",
];

/// What says that the book speaks.
const SPEAKS: [&str; 14] = [
    "says",
    "lists",
    "list ",
    "gives",
    "shows",
    "chapter",
    "from the",
    "according",
    "explains",
    "describes",
    "table",
    "page ",
    "in the",
    "of the",
];

/// With these the writer tells what came of following it.
const RESULTS: [&str; 12] = [
    "i get",
    "we get",
    "i got",
    "we got",
    "follow",
    "my result",
    "output",
    "here is what",
    "like in",
    "as in",
    "instead i",
    "it answers",
];

/// The blocks of a text that a book says; most texts have none.
pub(super) fn blocks(text: &str) -> Vec<Range<usize>> {
    let lower = text.to_ascii_lowercase();
    if !BOOKS.iter().any(|book| lower.contains(book)) {
        return Vec::new();
    }
    let all: Vec<Range<usize>> = lines(text).collect();
    let mut found = Vec::new();
    let mut n = 0;
    while n < all.len() {
        let start = n + 1;
        let mut end = start;
        if introduces(&lower[all[n].clone()]) {
            let indented = |n: usize| text[all[n].clone()].starts_with([' ', '\t', '|', '-', '*']);
            let hanging = start < all.len() && indented(start);
            while end < all.len() {
                let gap = text[all[end - 1].end..all[end].start].matches('\n').count() > 1;
                let ends = if hanging { !indented(end) } else { gap && end > start };
                if ends || is_command(&text[all[end].clone()]) {
                    break;
                }
                end += 1;
            }
            if end > start {
                found.push(all[start].start..all[end - 1].end);
            }
        }
        n = end.max(start);
    }
    found
}

/// A command is the writer's own dialogue, or an example that reads like one.
fn is_command(line: &str) -> bool {
    // A prompt may stand before it.
    let line = line.trim_start_matches(|c: char| !c.is_ascii_alphabetic());
    line.get(..3).is_some_and(|at| at.eq_ignore_ascii_case("at+"))
}

/// Whether a line is a heading over what a book says.
fn introduces(lower: &str) -> bool {
    // What an earlier sentence of the line says introduces nothing.
    let lower = lower.rsplit(". ").next().unwrap_or(lower);
    let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    lower.trim_end().ends_with(':') && has(&BOOKS) && has(&SPEAKS) && !has(&RESULTS)
}

#[cfg(test)]
mod tests {
    use super::blocks;

    fn quoted(text: &str) -> Vec<&str> {
        blocks(text).into_iter().map(|block| &text[block]).collect()
    }

    #[test]
    fn what_a_book_says_is_a_block_of_its_own() {
        assert_eq!(
            quoted(
                "From the manual, chapter \"errors\":\n\n  E31 +CME ERROR: 10\n  E41 +CEREG: 2\n\nOne of these.\n"
            ),
            ["  E31 +CME ERROR: 10\n  E41 +CEREG: 2"]
        );
        assert_eq!(
            quoted("The manual says:\n+CEREG: 0,3 registration denied\n\nI see:\n+CEREG: 0,1\n"),
            ["+CEREG: 0,3 registration denied"]
        );
    }

    #[test]
    fn what_came_of_it_is_none() {
        for text in [
            "I followed the manual and this is the log:\n+CEREG: 0,3\n",
            "As in the manual I get:\n  +CEREG: 0,3\n",
            "The manual says:\nAT+CEREG?\n+CEREG: 0,3\nOK\n",
            "manual mode\n+COPS: 1\n",
        ] {
            assert!(quoted(text).is_empty(), "{text}");
        }
    }

    #[test]
    fn a_sentence_before_the_heading_and_a_prompt_make_no_book() {
        for text in [
            "The data sheet of the card says LTE alone. This is from the logger:\n+CEREG: 0,2\n",
            "The manual says in the chapter on states:\n#1> AT+CEREG?\n+CEREG: 0,2\n",
        ] {
            assert_eq!(quoted(text), [] as [&str; 0], "{text}");
        }
    }
}
