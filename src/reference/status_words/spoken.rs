//! What the value behind a key says, and short statements of a noun and a word of its state.

use super::state::{self, State, Subject};
use crate::reference::table::{File, Sheet, TableError, filled};
use crate::reference::word_lists::List;
use serde::Deserialize;
use std::sync::LazyLock;

/// What a key speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Of {
    Card,
    Registration,
    /// The service of a page.
    Service,
    Radio,
    Session,
    /// The modem as a whole: the value says of what.
    Modem,
}

/// Words behind a key and what they state.
pub(crate) struct Value {
    of: Of,
    state: State,
    words: Vec<&'static str>,
}

/// A noun and a word of its state near each other.
pub(crate) struct Statement {
    pub(crate) nouns: List,
    /// A denial must stand with them.
    pub(crate) denial: bool,
    pub(crate) state: State,
    pub(crate) words: Vec<&'static str>,
}

/// What a value says; it is in small letters, one blank between its words. The longest words that it begins with count;
/// behind them a number may stand, behind those of a registration or service anything.
pub(crate) fn value(of: Of, text: &str) -> Option<State> {
    let fits = |word: &&str| {
        text.strip_prefix(word).is_some_and(|rest| {
            let number =
                rest.strip_prefix(' ').map(|r| r.starts_with(|c: char| c.is_ascii_digit()));
            rest.is_empty()
                || number
                    .is_some_and(|number| number || matches!(of, Of::Registration | Of::Service))
        })
    };
    let rows = VALUES.iter().filter(|row| row.of == of);
    rows.filter_map(|row| Some((row.words.iter().filter(|w| fits(w)).map(|w| w.len()).max()?, row)))
        .max_by_key(|(length, _)| *length)
        .map(|(_, row)| row.state)
}

/// The statements, in the order in which they are looked for.
pub(crate) fn statements() -> &'static [Statement] {
    &STATEMENTS
}

static VALUES: LazyLock<Vec<Value>> = LazyLock::new(|| VALUES_FILE.load());
static STATEMENTS: LazyLock<Vec<Statement>> = LazyLock::new(|| STATEMENTS_FILE.load());

pub(crate) static VALUES_FILE: File<Vec<Value>> = File::new(
    "state-values.csv",
    include_str!("../../../band-tables/state-values.csv"),
    read_values,
);
pub(crate) static STATEMENTS_FILE: File<Vec<Statement>> = File::new(
    "statements.csv",
    include_str!("../../../band-tables/statements.csv"),
    read_statements,
);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ValueRow {
    of: Of,
    subject: Subject,
    state: &'static str,
    #[serde(rename = "language", deserialize_with = "filled")]
    _language: &'static str,
    #[serde(deserialize_with = "filled")]
    values: &'static str,
}

fn read_values(sheet: &Sheet<'_>) -> Result<Vec<Value>, TableError> {
    sheet.rows(|row: ValueRow, place| {
        let words = super::parts(row.values);
        match (state::state(row.subject, row.state), words.iter().find(|w| !is_plain(w))) {
            (Some(state), None) => Ok(Value { of: row.of, state, words }),
            (None, _) => Err(place.error("state", format!("no state of {:?}", row.subject))),
            (_, Some(word)) => {
                Err(place.error("values", format!("{word:?} has signs or capitals")))
            }
        }
    })
}

/// Small letters and digits with one blank between.
fn is_plain(words: &str) -> bool {
    words.split(' ').all(|w| !w.is_empty() && w.chars().all(char::is_alphanumeric))
        && words.to_lowercase() == words
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StatementRow {
    nouns: List,
    denial: Denial,
    subject: Subject,
    state: &'static str,
    #[serde(rename = "language", deserialize_with = "filled")]
    _language: &'static str,
    #[serde(deserialize_with = "filled")]
    words: &'static str,
}

#[derive(PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Denial {
    Yes,
    No,
}

fn read_statements(sheet: &Sheet<'_>) -> Result<Vec<Statement>, TableError> {
    sheet.rows(|row: StatementRow, place| {
        let state = state::state(row.subject, row.state)
            .ok_or_else(|| place.error("state", format!("no state of {:?}", row.subject)))?;
        let (denial, words) = (row.denial == Denial::Yes, super::parts(row.words));
        Ok(Statement { nouns: row.nouns, denial, state, words })
    })
}
