//! The words by which standards, kernels and link programs name the state of a modem.
//!
//! Each row of `status-words.csv` has a phrase with its spellings, the subject and state that it gives, whether it
//! states the fact or only hints at it, and the only place in which it counts, where there is one. Free text is
//! compared by [`key`]: letters and digits in lower case, so that `EMM-DEREGISTERED.PLMN-SEARCH`,
//! `emm_deregistered_plmn_search` and `EmmDeregisteredPlmnSearch` are one phrase.

use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

mod spoken;
mod state;
#[cfg(test)]
mod tests;

pub(crate) use spoken::{Of, STATEMENTS_FILE, Statement, VALUES_FILE, statements, value};
pub use state::{
    CardState, DeviceState, LinkState, LockState, PortState, RadioState, RegistrationState,
    SessionState, SignallingState, State, Subject, Where,
};

/// A phrase and what it says.
#[derive(Clone, Debug)]
pub struct StatusWord {
    /// The enumeration or document part.
    pub list: &'static str,
    /// The spelling of the source.
    pub phrase: &'static str,
    /// Further spellings, which differ in more than case and signs.
    pub spellings: Vec<&'static str>,
    /// What it speaks of.
    pub subject: Subject,
    /// What it says.
    pub state: State,
    /// Whether it states the fact by itself; else it hints at it and never outweighs a phrase that states.
    pub states_the_fact: bool,
    /// The only place in which phrase and spellings count.
    pub place: Where,
    /// The short word that programs print behind one of `keys`; it counts there only.
    pub value: Option<&'static str>,
    /// The keys before the short word.
    pub keys: Vec<&'static str>,
    /// The number in the enumeration.
    pub number: Option<u32>,
    source: &'static str,
}

impl StatusWord {
    /// The phrase and its further spellings.
    pub fn forms(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.phrase).chain(self.spellings.iter().copied())
    }

    /// Where the row comes from; `None` where the table of sources lacks it.
    pub fn source(&self) -> Option<Source> {
        SOURCES.get(self.source).copied()
    }
}

/// The form in which phrases are compared: letters and digits in lower case, nothing else.
pub fn key(text: &str) -> String {
    let mut key = String::with_capacity(text.len());
    key.extend(letters(text).map(char::from));
    key
}

fn letters(text: &str) -> impl Iterator<Item = u8> {
    text.bytes().filter(u8::is_ascii_alphanumeric).map(|b| b.to_ascii_lowercase())
}

/// Every phrase, in the order of the table.
pub fn all() -> &'static [StatusWord] {
    &TABLE
}

/// The phrases that have a spelling with this [`key`]: several where lists share a name.
pub fn spelled(wanted: &str) -> impl Iterator<Item = &'static StatusWord> {
    all().iter().filter(move |word| word.forms().any(|form| key(form) == wanted))
}

/// The phrases of the short word `value` behind `name`, both compared by [`key`].
pub fn behind(name: &str, value: &str) -> impl Iterator<Item = &'static StatusWord> {
    BEHIND.get(&pair(name, value)).into_iter().flatten().copied()
}

/// A key and its value in the form in which they are compared.
fn pair(name: &str, value: &str) -> String {
    let mut pair = key(name);
    pair.push('=');
    pair.extend(letters(value).map(char::from));
    pair
}

/// The rows with a short word, by each of their keys with it.
static BEHIND: LazyLock<HashMap<String, Vec<&'static StatusWord>>> = LazyLock::new(|| {
    let mut behind: HashMap<String, Vec<_>> = HashMap::new();
    for word in all() {
        for name in &word.keys {
            behind.entry(pair(name, word.value.unwrap_or_default())).or_default().push(word);
        }
    }
    behind
});

static TABLE: LazyLock<Vec<StatusWord>> = LazyLock::new(|| FILE.load());
static SOURCES: LazyLock<BTreeMap<&'static str, Source>> = LazyLock::new(|| SOURCES_FILE.load());

pub(crate) static FILE: File<Vec<StatusWord>> =
    File::new("status-words.csv", include_str!("../../../band-tables/status-words.csv"), read);
pub(crate) static SOURCES_FILE: File<BTreeMap<&'static str, Source>> = File::new(
    "status-sources.csv",
    include_str!("../../../band-tables/status-sources.csv"),
    read_sources,
);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    list: &'static str,
    phrase: &'static str,
    spellings: &'static str,
    subject: Subject,
    state: &'static str,
    strength: Strength,
    #[serde(rename = "where")]
    place: &'static str,
    value: &'static str,
    keys: &'static str,
    number: Option<u32>,
    #[serde(deserialize_with = "filled")]
    source: &'static str,
}

#[derive(PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Strength {
    States,
    Hints,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<StatusWord>, TableError> {
    sheet.rows(|row: Row, place| word(&row, place))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceRow {
    #[serde(deserialize_with = "filled")]
    source: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
}

fn read_sources(sheet: &Sheet<'_>) -> Result<BTreeMap<&'static str, Source>, TableError> {
    let rows = sheet.rows(|row: SourceRow, _| {
        Ok((row.source, Source::new(row.clause, row.standing, row.read_in, "")))
    })?;
    Ok(rows.into_iter().collect())
}

fn word(row: &Row, place: Place<'_>) -> Result<StatusWord, TableError> {
    let state = state::state(row.subject, row.state).ok_or_else(|| {
        place.error("state", format!("{:?} is no state of {:?}", row.state, row.subject))
    })?;
    let only_place = state::place(row.place)
        .ok_or_else(|| place.error("where", format!("{:?} is no place of a phrase", row.place)))?;
    if row.value.is_empty() != row.keys.is_empty() {
        return Err(place.error("keys", "`value` and `keys` belong together"));
    }
    Ok(StatusWord {
        list: row.list,
        phrase: row.phrase,
        spellings: parts(row.spellings),
        subject: row.subject,
        state,
        states_the_fact: row.strength == Strength::States,
        place: only_place,
        value: Some(row.value).filter(|value| !value.is_empty()),
        keys: parts(row.keys),
        number: row.number,
        source: row.source,
    })
}

fn parts(field: &'static str) -> Vec<&'static str> {
    field.split('|').filter(|part| !part.is_empty()).collect()
}
