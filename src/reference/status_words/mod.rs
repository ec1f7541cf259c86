//! The words by which standards, kernels and link programs name the state of a modem.
//!
//! Each row of `status-words.csv` has a phrase with its spellings, the subject and state that it gives, whether it
//! states the fact or only hints at it, and the only place in which it counts, where there is one. Free text is
//! compared by [`key`]: letters and digits in lower case, so that `EMM-DEREGISTERED.PLMN-SEARCH`,
//! `emm_deregistered_plmn_search` and `EmmDeregisteredPlmnSearch` are one phrase.

use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError};
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

mod state;
#[cfg(test)]
mod tests;

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
    /// Where the row comes from.
    pub source: Source,
}

impl StatusWord {
    /// The phrase and its further spellings.
    pub fn forms(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.phrase).chain(self.spellings.iter().copied())
    }
}

/// The form in which phrases are compared: letters and digits in lower case, nothing else.
pub fn key(text: &str) -> String {
    text.chars().filter(|c| c.is_ascii_alphanumeric()).map(|c| c.to_ascii_lowercase()).collect()
}

/// Every phrase, in the order of the table.
pub fn all() -> &'static [StatusWord] {
    &TABLE.rows
}

/// The phrases that have a spelling with this [`key`]: several where lists share a name.
pub fn spelled(key: &str) -> impl Iterator<Item = &'static StatusWord> {
    let table: &'static StatusWords = &TABLE;
    table.by_key.get(key).into_iter().flatten().map(|&at| &table.rows[at])
}

/// The phrases of the short word `value` behind `name`, both compared by [`key`].
pub fn behind(name: &str, value: &str) -> impl Iterator<Item = &'static StatusWord> {
    let table: &'static StatusWords = &TABLE;
    let pair = (key(name), key(value));
    table.by_value.get(&pair).into_iter().flatten().map(|&at| &table.rows[at])
}

#[derive(Debug)]
pub(crate) struct StatusWords {
    rows: Vec<StatusWord>,
    by_key: HashMap<String, Vec<usize>>,
    by_value: HashMap<(String, String), Vec<usize>>,
}

static TABLE: LazyLock<StatusWords> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<StatusWords> =
    File::new("status-words.csv", include_str!("../../../band-tables/status-words.csv"), read);

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
    source: &'static str,
    standing: Standing,
    read_in: &'static str,
}

#[derive(PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Strength {
    States,
    Hints,
}

fn read(sheet: &Sheet<'_>) -> Result<StatusWords, TableError> {
    let rows = sheet.rows(|row: Row, place| Ok((word(&row, place)?, place)))?;
    let mut words =
        StatusWords { rows: Vec::new(), by_key: HashMap::new(), by_value: HashMap::new() };
    for (at, (word, place)) in rows.into_iter().enumerate() {
        for form in word.forms() {
            let here = words.by_key.entry(key(form)).or_default();
            if here.last() == Some(&at) {
                return Err(place.error("spellings", format!("{form:?} repeats a spelling")));
            }
            let contradicts = |&other: &usize| {
                words.rows[other].list == word.list && words.rows[other].state != word.state
            };
            if here.iter().any(contradicts) {
                let problem = format!("{form:?} has two states in its list");
                return Err(place.error("phrase", problem));
            }
            here.push(at);
        }
        for name in &word.keys {
            let pair = (key(name), key(word.value.unwrap_or_default()));
            words.by_value.entry(pair).or_default().push(at);
        }
        words.rows.push(word);
    }
    Ok(words)
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
        source: Source::new(row.source, row.standing, row.read_in, ""),
    })
}

fn parts(field: &'static str) -> Vec<&'static str> {
    field.split('|').filter(|part| !part.is_empty()).collect()
}
