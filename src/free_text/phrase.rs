//! Phrases of the vocabulary in a line, wherever they stand and however they are spelled.
//!
//! Phrases are compared by letters and digits alone (see `reference::status_words`). The longest spelling wins, a
//! phrase begins and ends with a word, and no sentence mark stands inside of it.

use crate::reference::status_words::{self, StatusWord, Subject, Where, key};
use std::collections::HashMap;
use std::sync::LazyLock;

/// A phrase in a line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    /// What it is.
    pub(super) word: &'static StatusWord,
    /// Where it begins and ends in the line.
    pub(super) start: usize,
    pub(super) end: usize,
}

/// A shorter phrase is a word of every language.
const SHORTEST: usize = 5;

/// A spelling of the vocabulary, as it is compared, and the rows that have it.
struct Spelling {
    key: String,
    rows: Vec<&'static StatusWord>,
}

/// The spellings by their first letters, the longest of each first.
static VOCABULARY: LazyLock<HashMap<[u8; SHORTEST], Vec<Spelling>>> = LazyLock::new(|| {
    let mut vocabulary: HashMap<[u8; SHORTEST], Vec<Spelling>> = HashMap::new();
    for word in status_words::all() {
        for form in word.forms() {
            // What stands behind a prefix is a response, which is read elsewhere.
            let response = matches!(word.place, Where::Behind(k) if k.starts_with('+'))
                || form.starts_with("+C");
            let key = key(form);
            // A short word counts behind its keys only, which is read with them.
            let short = word.value.is_some_and(|value| status_words::key(value) == key);
            let Some(first) = key.as_bytes().first_chunk().filter(|_| !response && !short) else {
                continue;
            };
            let alike = vocabulary.entry(*first).or_default();
            match alike.iter_mut().find(|spelling| spelling.key == key) {
                Some(spelling) => spelling.rows.push(word),
                None => alike.push(Spelling { key, rows: vec![word] }),
            }
        }
    }
    for alike in vocabulary.values_mut() {
        alike.sort_by_key(|spelling| std::cmp::Reverse(spelling.key.len()));
    }
    vocabulary
});

/// The letters and digits of a line in lower case, and where each of them stands.
struct Letters {
    text: String,
    at: Vec<usize>,
}

impl Letters {
    fn of(line: &str) -> Self {
        let mut letters = Self { text: String::with_capacity(line.len()), at: Vec::new() };
        for (at, byte) in line.bytes().enumerate().filter(|(_, b)| b.is_ascii_alphanumeric()) {
            letters.text.push(char::from(byte.to_ascii_lowercase()));
            letters.at.push(at);
        }
        letters
    }

    /// Whether a word begins at this letter: nothing of a word stands before it.
    fn begins(&self, line: &str, letter: usize) -> bool {
        let at = self.at[letter];
        letter == 0 || !self.joined(line, letter - 1, letter) || parts(line, at)
    }

    fn ends(&self, line: &str, letter: usize) -> bool {
        letter + 1 == self.at.len()
            || !self.joined(line, letter, letter + 1)
            || parts(line, self.at[letter + 1])
    }

    /// Whether two neighbouring letters belong to one word.
    fn joined(&self, line: &str, one: usize, next: usize) -> bool {
        let (one, next) = (self.at[one], self.at[next]);
        next == one + 1 || line[one + 1..next].bytes().all(|b| !b.is_ascii())
    }

    /// Whether what parts the letters of a range may stand inside of a phrase.
    fn is_one_phrase(&self, line: &str, from: usize, to: usize) -> bool {
        (from..to).all(|letter| {
            let gap = &line[self.at[letter] + 1..self.at[letter + 1]];
            gap.len() <= 3
                && !gap.contains(['|', '\t', ';', '"', '?', '!'])
                && (!gap.starts_with('.') || gap.len() == 1)
                && !gap.contains("->")
        })
    }
}

/// Whether a new word begins within a run of letters: `EmmDeregistered`.
fn parts(line: &str, at: usize) -> bool {
    let bytes = line.as_bytes();
    at > 0 && bytes[at].is_ascii_uppercase() && bytes[at - 1].is_ascii_lowercase()
}

/// The phrases of a line in order, none inside another.
pub(super) fn phrases(line: &str) -> Vec<Found> {
    let letters = Letters::of(line);
    if letters.text.len() < SHORTEST {
        return Vec::new();
    }
    let text = letters.text.as_bytes();
    let mut found: Vec<Found> = Vec::new();
    let mut from = 0;
    while let Some(first) = text.get(from..).and_then(<[u8]>::first_chunk) {
        let whole = |spelling: &&Spelling| {
            let last = from + spelling.key.len() - 1;
            text[from..].starts_with(spelling.key.as_bytes())
                && letters.ends(line, last)
                && letters.is_one_phrase(line, from, last)
        };
        let longest =
            letters.begins(line, from).then(|| VOCABULARY.get(first)?.iter().find(whole)).flatten();
        let Some(spelling) = longest else {
            from += 1;
            continue;
        };
        let last = from + spelling.key.len() - 1;
        let (start, end) = (letters.at[from], letters.at[last] + 1);
        if is_call(line, start, end) {
            from = last + 1;
            continue;
        }
        if let Some(word) = choose(&spelling.rows, line, start, end) {
            found.push(Found { word, start, end });
        }
        from = last + 1;
    }
    found
}

/// Whether a phrase ends in the name of a function in a program: `link = open_link(path)`.
fn is_call(line: &str, start: usize, end: usize) -> bool {
    let part = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    let rest = line[end..].trim_start_matches(part);
    let name = &line[start..line.len() - rest.len()];
    let name = name.rsplit(|c: char| !part(c)).next().unwrap_or(name);
    let inside = rest.strip_prefix('(');
    name.contains('_') && inside.is_some_and(|rest| !rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Of the rows that share a spelling the one that counts here; `None` where none may stand here.
fn choose(
    rows: &[&'static StatusWord],
    line: &str,
    start: usize,
    end: usize,
) -> Option<&'static StatusWord> {
    let here = rows.iter().copied().filter(|word| stands(word.place, line, start, end));
    let here: Vec<_> = here.collect();
    let first = *here.first()?;
    if here.iter().all(|word| word.state == first.state) {
        return here.iter().copied().find(|word| word.states_the_fact).or(Some(first));
    }
    let lower = line.to_ascii_lowercase();
    // Lists of causes share names: the line says which list is meant, or which kind of procedure.
    let labelled = here.iter().copied().find(|word| {
        let list = word.list.rsplit('-').next().unwrap_or(word.list);
        lower.split(|c: char| !c.is_ascii_alphanumeric()).any(|token| token == list)
    });
    let session = ["esm", "pdn", "pdp", "bearer", "session", "context", "apn", "activat"]
        .iter()
        .any(|token| lower.contains(token));
    let by_procedure = || {
        let wanted = if session { "cause-esm" } else { "cause-emm" };
        here.iter().copied().find(|word| word.list == wanted)
    };
    let stated = || here.iter().copied().find(|word| word.states_the_fact);
    match first.subject {
        Subject::Cause => labelled.or_else(by_procedure),
        _ => labelled.or_else(stated).or(Some(first)),
    }
}

/// Whether a phrase may stand at this place of a line.
fn stands(place: Where, line: &str, start: usize, end: usize) -> bool {
    let before = line[..start].trim_end();
    let marked = before.ends_with([':', '=', '>', '\u{2192}', '|']);
    match place {
        Where::Anywhere => true,
        Where::OwnLine => line.trim() == &line[start..end],
        Where::Behind(name) => key(before).ends_with(&key(name)),
        Where::Beside(word) => line.to_ascii_lowercase().contains(&word.to_ascii_lowercase()),
        Where::BesidePort => names_a_port(line),
        Where::BehindMark => {
            marked
                || ["is on", "is enabled", "is active"]
                    .iter()
                    .any(|m| line[end..].trim_start().starts_with(m))
        }
        Where::BeforeValue => line[end..]
            .trim_start_matches([' ', ':', '=', '('])
            .starts_with(|c: char| c.is_ascii_digit()),
        Where::KernelLine => super::voice::is_kernel(line),
    }
}

/// Whether a line names a serial port or a modem's control device.
pub(super) fn names_a_port(line: &str) -> bool {
    let lower = line.to_ascii_lowercase();
    let numbered = |name: &str| {
        lower.match_indices(name).any(|(at, _)| {
            let begins = !lower[..at].ends_with(|c: char| c.is_ascii_alphanumeric());
            begins && lower[at + name.len()..].starts_with(|c: char| c.is_ascii_digit())
        })
    };
    ["/dev/tty", "/dev/cdc", "/dev/wwan", "/dev/serial", "/dev/cu", "cdc-wdm"]
        .iter()
        .any(|name| lower.contains(name))
        || ["ttyusb", "ttyacm", "ttys", "ttyama", "ttymxc", "com"].iter().any(|name| numbered(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(line: &str) -> Vec<&'static str> {
        phrases(line).iter().map(|f| f.word.phrase).collect()
    }

    #[test]
    fn one_phrase_has_many_spellings_and_the_longest_wins() {
        for line in [
            "state EMM-DEREGISTERED.PLMN-SEARCH now",
            "state emm_deregistered_plmn_search now",
            "state: EmmDeregisteredPlmnSearch",
        ] {
            assert_eq!(names(line), ["EMM-DEREGISTERED.PLMN-SEARCH"], "{line}");
        }
    }

    #[test]
    fn a_phrase_is_whole_words_of_one_sentence() {
        assert_eq!(names("there is no. service is good"), [] as [&str; 0]);
        assert_eq!(names("casino service desk"), [] as [&str; 0]);
        assert_eq!(names("it shows no service"), ["no service"]);
    }

    #[test]
    fn a_phrase_of_a_port_counts_beside_a_port_only() {
        assert_eq!(
            names("open /dev/ttyUSB2: Device or resource busy"),
            ["Device or resource busy"]
        );
        assert_eq!(names("umount: Device or resource busy"), [] as [&str; 0]);
    }

    #[test]
    fn a_call_in_a_program_is_no_phrase() {
        assert_eq!(names("    state = no_service(path)"), [] as [&str; 0]);
        assert_eq!(names("    say = no service_text(path)"), [] as [&str; 0]);
        assert_eq!(names("state no_service(0)"), ["no service"]);
    }
}
