//! Causes that networks and modems give (TS 24.301, TS 24.008, TS 24.501): names and what follows.

use super::table::{Row, Sheet, Source, Table, TableError};

/// The list that a cause number belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
    FiveGmm,
    /// 5GS session management, TS 24.501 §9.11.4.2.
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

    const WORDS: &'static [(&'static str, Self)] = &[
        ("emm", Self::Emm),
        ("esm", Self::Esm),
        ("gmm", Self::Gmm),
        ("mm", Self::Mm),
        ("sm", Self::Sm),
        ("5gmm", Self::FiveGmm),
        ("5gsm", Self::FiveGsm),
    ];
}

/// Whether the modem tries again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
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

    const WORDS: &'static [(&'static str, Self)] = &[
        ("yes", Self::Yes),
        ("elsewhere", Self::Elsewhere),
        ("changed", Self::Changed),
        ("no", Self::No),
        ("", Self::Unsaid),
    ];
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
    let outside = TABLE.get().outside.iter().find(|o| o.list == list)?;
    Some(Found::Unassigned {
        by_modem: assigned(list, outside.by_modem)?,
        by_network: assigned(list, outside.by_network)?,
        source: outside.source,
    })
}

/// The row that assigns a number.
pub fn assigned(list: CauseList, number: u8) -> Option<&'static Cause> {
    TABLE.get().rows.iter().find(|c| c.list == list && (c.first..=c.last).contains(&number))
}

/// Every cause of a list, in order.
pub fn causes(list: CauseList) -> impl Iterator<Item = &'static Cause> {
    TABLE.get().rows.iter().filter(move |c| c.list == list)
}

pub(crate) static TABLE: Table<Causes> =
    Table::new("causes.csv", include_str!("../../band-tables/causes.csv"), read);

enum Either {
    Cause(Cause),
    Outside(Outside),
}

fn read(sheet: Sheet<'_>) -> Result<Causes, TableError> {
    let mut causes = Causes { rows: Vec::new(), outside: Vec::new() };
    for row in sheet.rows(either)? {
        match row {
            Either::Cause(cause) => causes.rows.push(cause),
            Either::Outside(outside) => causes.outside.push(outside),
        }
    }
    Ok(causes)
}

fn either(row: &Row<'_>) -> Result<Either, TableError> {
    let list = row.one_of("list", CauseList::WORDS)?;
    let meaning = row.filled("meaning")?;
    if row.filled("value")? == "*" {
        let mut numbers = meaning.split(' ').map(str::parse);
        return match (numbers.next(), numbers.next()) {
            (Some(Ok(by_modem)), Some(Ok(by_network))) => {
                Ok(Either::Outside(Outside { list, by_modem, by_network, source: row.source()? }))
            }
            _ => {
                Err(row.error("meaning", "two numbers are wanted: for the modem, for the network"))
            }
        };
    }
    let (first, last) = (row.number("value")?, row.number("last")?);
    if last < first {
        return Err(row.error("last", "must not be below `value`"));
    }
    Ok(Either::Cause(Cause {
        list,
        first,
        last,
        name: row.filled("name")?,
        meaning,
        acts: row.text("acts")?,
        retries: row.one_of("retries", Retries::WORDS)?,
        timer: row.text("timer")?,
        source: row.source()?,
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
    fn names_are_those_of_the_standard() {
        assert_eq!(assigned(CauseList::Emm, 11).unwrap().name, "PLMN not allowed");
        assert_eq!(assigned(CauseList::Esm, 27).unwrap().name, "Missing or unknown APN");
    }
}
