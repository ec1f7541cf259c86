//! Causes that networks and modems give (TS 24.301, TS 24.008, TS 24.501): names and what follows.

use super::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// The list that a cause number belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum CauseList {
    /// EPS mobility management, TS 24.301 §9.9.3.9.
    Emm,
    /// EPS session management, TS 24.301 §9.9.4.4.
    Esm,
    /// GPRS mobility management, TS 24.008 §10.5.5.14.
    Gmm,
    /// Mobility management of the circuit domain, TS 24.008 §10.5.3.6.
    Mm,
    /// Session management of GPRS and UMTS, TS 24.008 §10.5.6.6.
    Sm,
    /// 5GS mobility management, TS 24.501 §9.11.3.2.
    #[serde(rename = "5gmm")]
    FiveGmm,
    /// 5GS session management, TS 24.501 §9.11.4.2.
    #[serde(rename = "5gsm")]
    FiveGsm,
}

impl CauseList {
    /// Every list.
    pub const ALL: [Self; 7] =
        [Self::Emm, Self::Esm, Self::Gmm, Self::Mm, Self::Sm, Self::FiveGmm, Self::FiveGsm];

    /// The short name, lower case.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Emm => "emm",
            Self::Esm => "esm",
            Self::Gmm => "gmm",
            Self::Mm => "mm",
            Self::Sm => "sm",
            Self::FiveGmm => "5gmm",
            Self::FiveGsm => "5gsm",
        }
    }

    /// The list of a short name, whatever its case.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.word().eq_ignore_ascii_case(word))
    }

    /// The short name in the standards.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Emm => "EMM",
            Self::Esm => "ESM",
            Self::Gmm => "GMM",
            Self::Mm => "MM",
            Self::Sm => "SM",
            Self::FiveGmm => "5GMM",
            Self::FiveGsm => "5GSM",
        }
    }

    /// The clause of the list.
    pub const fn clause(self) -> &'static str {
        match self {
            Self::Emm => "TS 24.301 §9.9.3.9",
            Self::Esm => "TS 24.301 §9.9.4.4",
            Self::Gmm => "TS 24.008 §10.5.5.14",
            Self::Mm => "TS 24.008 §10.5.3.6",
            Self::Sm => "TS 24.008 §10.5.6.6",
            Self::FiveGmm => "TS 24.501 §9.11.3.2",
            Self::FiveGsm => "TS 24.501 §9.11.4.2",
        }
    }

    /// Whether the cause refuses a session (an access point, an address), not the device.
    pub const fn is_session(self) -> bool {
        matches!(self, Self::Esm | Self::Sm | Self::FiveGsm)
    }
}

/// Which side sends a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Sender {
    /// The network.
    Network,
    /// The modem: the cause shows no decision of the network.
    Modem,
    /// Either side.
    Either,
    /// Nobody: the list defines it and it is not sent.
    Never,
}

impl Sender {
    /// The side in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Network => "the network",
            Self::Modem => "the modem",
            Self::Either => "the network or the modem",
            Self::Never => "nobody (defined and not sent)",
        }
    }
}

/// Whether the modem tries again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Retries {
    /// By itself, after a timer.
    Yes,
    /// In another cell, area, network or technology.
    Elsewhere,
    /// Only with changed settings.
    Changed,
    /// Not before power-off or another card.
    No,
    /// The clauses do not say.
    #[serde(rename = "")]
    Unsaid,
}

impl Retries {
    /// What it means.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Yes => "the modem tries again by itself",
            Self::Elsewhere => {
                "the modem tries elsewhere: another cell, area, network or technology"
            }
            Self::Changed => "the modem does not try again until the settings are changed",
            Self::No => {
                "the modem does not try again until it is switched off or the card is changed"
            }
            Self::Unsaid => "not said by the clause",
        }
    }
}

/// One cause.
#[derive(Clone, Debug)]
pub struct Cause {
    /// Its list.
    pub list: CauseList,
    /// First number.
    pub first: u8,
    /// Last number; the same for a single cause.
    pub last: u8,
    /// The name in the standard.
    pub name: &'static str,
    /// Which side sends it, where that is known.
    pub sender: Option<Sender>,
    /// What it means in practice.
    pub meaning: &'static str,
    /// Who can act: installer, carrier, account-holder, maker, nobody; empty where nothing is said.
    pub acts: &'static str,
    /// Whether the modem tries again.
    pub retries: Retries,
    /// The timer that decides, where one does.
    pub timer: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

impl Cause {
    /// The names of the timers that the text of `timer` mentions.
    pub fn timer_names(&self) -> impl Iterator<Item = &'static str> {
        self.timer.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| {
            word.strip_prefix('T')
                .is_some_and(|n| n.len() == 4 && n.bytes().all(|b| b.is_ascii_digit()))
        })
    }
}

/// How a number outside a list must be treated.
#[derive(Clone, Debug)]
struct Outside {
    list: CauseList,
    by_modem: u8,
    by_network: u8,
    source: Source,
}

/// What a number is in a list.
#[derive(Clone, Copy, Debug)]
pub enum Found {
    /// The list assigns it.
    Assigned(&'static Cause),
    /// The list does not assign it; receivers treat it as another one.
    Unassigned {
        /// What the modem treats it as.
        by_modem: &'static Cause,
        /// What the network treats it as.
        by_network: &'static Cause,
        /// The clause that says so.
        source: Source,
    },
}

#[derive(Debug)]
pub(crate) struct Causes {
    rows: Vec<Cause>,
    outside: Vec<Outside>,
}

/// What a number is in a list; `None` only where a user's table lacks what the list refers to.
pub fn cause(list: CauseList, number: u8) -> Option<Found> {
    if let Some(row) = assigned(list, number) {
        return Some(Found::Assigned(row));
    }
    let outside = TABLE.outside.iter().find(|o| o.list == list)?;
    Some(Found::Unassigned {
        by_modem: assigned(list, outside.by_modem)?,
        by_network: assigned(list, outside.by_network)?,
        source: outside.source,
    })
}

/// The row that assigns a number.
pub fn assigned(list: CauseList, number: u8) -> Option<&'static Cause> {
    TABLE.rows.iter().find(|c| c.list == list && (c.first..=c.last).contains(&number))
}

/// Every cause of a list, in order.
pub fn causes(list: CauseList) -> impl Iterator<Item = &'static Cause> {
    TABLE.rows.iter().filter(move |c| c.list == list)
}

static TABLE: LazyLock<Causes> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Causes> =
    File::new("causes.csv", include_str!("../../band-tables/causes.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    list: CauseList,
    #[serde(deserialize_with = "filled")]
    value: &'static str,
    last: &'static str,
    name: &'static str,
    #[serde(default)]
    sender: Option<Sender>,
    #[serde(deserialize_with = "filled")]
    meaning: &'static str,
    acts: &'static str,
    retries: Retries,
    timer: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

enum Either {
    Cause(Cause),
    Outside(Outside),
}

fn read(sheet: &Sheet<'_>) -> Result<Causes, TableError> {
    let mut causes = Causes { rows: Vec::new(), outside: Vec::new() };
    for row in sheet.rows(either)? {
        match row {
            Either::Cause(cause) => causes.rows.push(cause),
            Either::Outside(outside) => causes.outside.push(outside),
        }
    }
    Ok(causes)
}

fn either(row: Row, place: Place<'_>) -> Result<Either, TableError> {
    let source = Source::new(row.clause, row.standing, row.read_in, row.note);
    if row.value == "*" {
        let mut numbers = row.meaning.split(' ').map(str::parse);
        return match (numbers.next(), numbers.next()) {
            (Some(Ok(by_modem)), Some(Ok(by_network))) => {
                Ok(Either::Outside(Outside { list: row.list, by_modem, by_network, source }))
            }
            _ => {
                Err(place
                    .error("meaning", "two numbers are wanted: for the modem, for the network"))
            }
        };
    }
    let number = |column: &str, text: &str| {
        text.parse::<u8>().map_err(|_| place.error(column, format!("{text:?} is no cause number")))
    };
    let (first, last) = (number("value", row.value)?, number("last", row.last)?);
    if last < first {
        return Err(place.error("last", "must not be below `value`"));
    }
    if row.name.is_empty() {
        return Err(place.error("name", "must not be empty"));
    }
    Ok(Either::Cause(Cause {
        list: row.list,
        first,
        last,
        name: row.name,
        sender: row.sender,
        meaning: row.meaning,
        acts: row.acts,
        retries: row.retries,
        timer: row.timer,
        source,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_of_every_list_has_an_answer() {
        for list in CauseList::ALL {
            for number in 0..=u8::MAX {
                assert!(cause(list, number).is_some(), "{} {number}", list.word());
            }
        }
    }

    #[test]
    fn an_unassigned_number_is_treated_as_the_clause_says() {
        // TS 24.301 §9.9.3.9 and §9.9.4.4, the sentences below the tables.
        let Some(Found::Unassigned { by_modem, .. }) = cause(CauseList::Emm, 200) else { panic!() };
        assert_eq!(by_modem.first, 111);
        let Some(Found::Unassigned { by_modem, .. }) = cause(CauseList::Esm, 200) else { panic!() };
        assert_eq!(by_modem.first, 34);
    }

    #[test]
    fn what_a_cause_means_follows_the_clauses() {
        let emm = |number| assigned(CauseList::Emm, number).unwrap();
        // TS 24.301 annex A.1: cause 2 does not affect the EPS service; §5.5.1.2.6 d: 95, 96, 97,
        // 99 and 111 set the attempt counter to 5; annex A.2: 21 is sent to the network.
        assert!(emm(2).meaning.contains("not affected"));
        for number in [95, 96, 97, 99, 111] {
            assert!(emm(number).timer.starts_with("T3402 12 min at once"), "{number}");
        }
        assert_eq!(emm(21).sender, Some(Sender::Modem));
        // §6.5.1.4.3: 12 minutes where the network gives no back-off time.
        for number in [8, 27, 32, 33] {
            assert!(assigned(CauseList::Esm, number).unwrap().timer.contains("12 min"));
        }
        // Table 9.9.4.4.1 leaves 46 unused.
        assert!(assigned(CauseList::Esm, 46).is_none());
    }

    #[test]
    fn names_are_those_of_the_standard() {
        assert_eq!(assigned(CauseList::Emm, 11).unwrap().name, "PLMN not allowed");
        assert_eq!(assigned(CauseList::Esm, 27).unwrap().name, "Missing or unknown APN");
    }
}
