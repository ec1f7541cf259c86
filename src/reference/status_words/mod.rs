//! The words by which standards, kernels and link programs name the state of a modem.
//!
//! Each row of `status-words.csv` has a phrase with its spellings, the subject and state that it gives, whether it
//! states the fact or only hints at it, and the only place in which it counts, where there is one. Free text is
//! compared by [`key`]: letters and digits in lower case, so that `EMM-DEREGISTERED.PLMN-SEARCH`,
//! `emm_deregistered_plmn_search` and `EmmDeregisteredPlmnSearch` are one phrase.

use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use foldhash::fast::FixedState;
use serde::Deserialize;
use smallvec::SmallVec;
use std::collections::{BTreeMap, HashMap};
use std::hash::{BuildHasher, Hasher};
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
    letters(text).map(char::from).collect()
}

fn letters(text: &str) -> impl Iterator<Item = u8> {
    text.bytes().filter(u8::is_ascii_alphanumeric).map(|b| b.to_ascii_lowercase())
}

/// Every phrase, in the order of the table.
pub fn all() -> &'static [StatusWord] {
    &TABLE
}

/// The phrases that have a spelling with this [`key`]: several where lists share a name.
pub fn spelled(key: &str) -> impl Iterator<Item = &'static StatusWord> {
    let same = move |word: &&StatusWord| word.forms().any(|form| letters(form).eq(letters(key)));
    INDEX.spelled.get(&hash([key])).into_iter().flatten().map(|at| &TABLE[*at]).filter(same)
}

/// The phrases of the short word `value` behind `name`, both compared by [`key`].
pub fn behind(name: &str, value: &str) -> impl Iterator<Item = &'static StatusWord> {
    let same = move |word: &&StatusWord| {
        word.value.is_some_and(|own| letters(own).eq(letters(value)))
            && word.keys.iter().any(|own| letters(own).eq(letters(name)))
    };
    INDEX.behind.get(&hash([name, value])).into_iter().flatten().map(|at| &TABLE[*at]).filter(same)
}

/// A number that two texts of the same [`key`]s share; others may share it, too.
fn hash<'t>(texts: impl IntoIterator<Item = &'t str>) -> u64 {
    let mut hasher = FixedState::default().build_hasher();
    for text in texts {
        letters(text).for_each(|letter| hasher.write_u8(letter));
        hasher.write_u8(0);
    }
    hasher.finish()
}

/// The rows by the [`hash`] of their spellings, and of a key with its value. A start of the program
/// pays for the table in any case, and for this only where a phrase is looked up.
struct Index {
    spelled: HashMap<u64, SmallVec<[usize; 2]>, FixedState>,
    behind: HashMap<u64, SmallVec<[usize; 2]>, FixedState>,
}

static INDEX: LazyLock<Index> = LazyLock::new(|| {
    let mut index = Index { spelled: HashMap::default(), behind: HashMap::default() };
    for (at, word) in all().iter().enumerate() {
        for form in word.forms() {
            index.spelled.entry(hash([form])).or_default().push(at);
        }
        for name in &word.keys {
            let pair = hash([name, word.value.unwrap_or_default()]);
            index.behind.entry(pair).or_default().push(at);
        }
    }
    index
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
