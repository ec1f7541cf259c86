//! All sites of a run, each with its latest record: what a morning's overview is made from.
//!
//! Words are kept once for the whole fleet, so memory grows with the sites and not with the records.

use super::row::{Row, RowEvidence};
use crate::rules::{Acts, Certainty};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use std::collections::HashMap;

/// A word that is kept once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Word(u32);

/// What is known of a site.
#[derive(Clone, Debug)]
pub struct Site {
    /// Its name.
    pub name: Box<str>,
    /// The time of its latest record.
    pub at: Option<DateTime<Utc>>,
    /// Its records in this run.
    pub records: u32,
    /// What its latest record says.
    pub state: State,
    /// The finding in one sentence, or why there is none.
    pub says: Word,
    /// The line that shows it.
    pub evidence: Option<Box<RowEvidence>>,
    /// Its attributes, those of earlier records where the latest has none; by name.
    pub attributes: Vec<(Word, Word)>,
    /// The latest level of the serving cell, dBm (RSRP).
    pub rsrp_dbm: Option<f32>,
    /// The levels before that, at most 32.
    pub levels_before: Vec<f32>,
    /// The days on which it has records, in order, and whether it failed or gave nothing in the last record of each; at
    /// most 62.
    pub days: Vec<(NaiveDate, bool)>,
    /// Latitude and longitude.
    pub position: Option<(f64, f64)>,
    /// Whether the record names no site.
    pub unnamed: bool,
}

/// What the latest record of a site says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Registered, and a session is open.
    Connected,
    /// A cause was found.
    Failing {
        /// The id of the finding.
        finding: Word,
        /// The listed id that it is a case of.
        kind_of: Option<Word>,
        /// Who can act first.
        acts: Acts,
        /// How certain it is.
        certainty: Certainty,
    },
    /// The text was not enough.
    Unclear,
    /// The site was asked and gave nothing.
    Unreachable,
    /// The record could not be used.
    Unusable,
}

impl State {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Connected => "connected",
            Self::Failing { .. } => "failing",
            Self::Unclear => "unclear",
            Self::Unreachable => "unreachable",
            Self::Unusable => "unusable",
        }
    }

    /// Whether the site fails, or gave nothing when it was asked.
    pub const fn is_trouble(self) -> bool {
        matches!(self, Self::Failing { .. } | Self::Unreachable)
    }
}

/// So many earlier levels of a site are kept.
pub(super) const LEVELS_KEPT: usize = 32;

/// So many days of a site are kept: two months.
const DAYS_KEPT: usize = 62;

/// The sites of a run.
#[derive(Debug, Default)]
pub struct Fleet {
    /// The sites, in the order in which they came.
    pub sites: Vec<Site>,
    /// Records in all.
    pub records: u64,
    /// Records that could not be used.
    pub unusable: u64,
    /// The time of the latest record of all.
    pub newest: Option<DateTime<Utc>>,
    places: HashMap<Box<str>, usize>,
    words: Vec<Box<str>>,
    known: HashMap<Box<str>, Word>,
}

impl Fleet {
    /// Takes one row in.
    pub fn add(&mut self, row: Row) {
        self.records += 1;
        self.unusable += u64::from(row.error.is_some() && !row.unreachable);
        let at = row.time();
        self.newest = self.newest.max(at);
        let unnamed = row.site_name().is_none();
        let name = row.site_name().unwrap_or_else(|| format!("record {}", self.records));
        let state = self.state(&row);
        let says = row.error.as_deref().or(row.summary.as_deref()).unwrap_or_default();
        let says = self.word(says);
        let attributes: Vec<_> =
            row.attributes.iter().map(|(n, w)| (self.word(n), self.word(w))).collect();
        #[expect(clippy::cast_possible_truncation, reason = "levels have one decimal")]
        let level = row.levels.get("rsrp_dbm").map(|l| *l as f32);
        let new = Site {
            name: name.as_str().into(),
            at,
            records: 1,
            state,
            says,
            evidence: row.evidence.map(Box::new),
            attributes,
            rsrp_dbm: level,
            levels_before: Vec::new(),
            days: at.map(|at| (at.date_naive(), state.is_trouble())).into_iter().collect(),
            position: row.latitude.zip(row.longitude),
            unnamed,
        };
        if let Some(&place) = self.places.get(name.as_str()) {
            self.sites[place].follow(new);
        } else {
            self.places.insert(name.into(), self.sites.len());
            self.sites.push(new);
        }
    }

    /// Notes where sites are, by their names.
    pub fn place(&mut self, positions: &HashMap<String, (f64, f64)>) {
        for site in &mut self.sites {
            site.position = positions.get(&*site.name).copied().or(site.position);
        }
    }

    fn state(&mut self, row: &Row) -> State {
        match row.finding.as_deref() {
            _ if row.unreachable => State::Unreachable,
            None => State::Unusable,
            Some("connected") => State::Connected,
            Some("unclear") => State::Unclear,
            Some(finding) => State::Failing {
                finding: self.word(finding),
                kind_of: row.kind_of.as_deref().map(|listed| self.word(listed)),
                acts: row.acts.as_deref().and_then(Acts::named).unwrap_or(Acts::Installer),
                certainty: row
                    .certainty
                    .as_deref()
                    .and_then(Certainty::named)
                    .unwrap_or(Certainty::Possible),
            },
        }
    }

    /// Keeps a word once.
    fn word(&mut self, text: &str) -> Word {
        if let Some(word) = self.known.get(text) {
            return *word;
        }
        // Words of a run are far fewer than 2^32: each takes more than a byte of memory.
        let word = Word(u32::try_from(self.words.len()).unwrap_or(u32::MAX));
        self.words.push(text.into());
        self.known.insert(text.into(), word);
        word
    }

    /// The text of a word.
    pub fn text(&self, word: Word) -> &str {
        self.words.get(word.0 as usize).map_or("", |w| w)
    }

    /// A site by its name.
    pub fn site(&self, name: &str) -> Option<&Site> {
        self.places.get(name).map(|place| &self.sites[*place])
    }

    /// An attribute of a site by its name.
    pub fn attribute(&self, site: &Site, name: &str) -> Option<&str> {
        let name = self.known.get(name)?;
        site.attribute(*name).map(|word| self.text(word))
    }

    /// The names of all attributes that a site has, those of the site's own tags last.
    pub fn attribute_names(&self) -> Vec<Word> {
        let mut names: Vec<Word> =
            self.sites.iter().flat_map(|s| s.attributes.iter().map(|a| a.0)).collect();
        names.sort_unstable();
        names.dedup();
        let own = super::attributes::NAMES;
        names.sort_by_key(|word| {
            let text = self.text(*word);
            (own.iter().position(|name| *name == text).unwrap_or(own.len()), text)
        });
        names
    }

    /// Whether the latest record of a site is older than the newest of all by more than this.
    pub fn is_stale(&self, site: &Site, after: TimeDelta) -> bool {
        self.newest.zip(site.at).is_some_and(|(newest, at)| newest - at > after)
    }
}

impl Site {
    /// The value of an attribute.
    pub fn attribute(&self, name: Word) -> Option<Word> {
        self.attributes.iter().find(|a| a.0 == name).map(|a| a.1)
    }

    /// Takes another record of the same site: the later time counts, without times the later record.
    fn follow(&mut self, other: Self) {
        let older = self.at.zip(other.at).is_some_and(|(now, other)| other < now);
        let mut other = other;
        if !older {
            std::mem::swap(self, &mut other);
        }
        self.records += other.records;
        for (name, word) in other.attributes {
            if self.attribute(name).is_none() {
                self.attributes.push((name, word));
            }
        }
        let mut levels = other.levels_before;
        levels.append(&mut self.levels_before);
        levels.extend(other.rsrp_dbm);
        if levels.len() > LEVELS_KEPT {
            levels.drain(..levels.len() - LEVELS_KEPT);
        }
        self.levels_before = levels;
        for (day, trouble) in other.days {
            if let Err(place) = self.days.binary_search_by_key(&day, |d| d.0) {
                self.days.insert(place, (day, trouble));
            }
        }
        if self.days.len() > DAYS_KEPT {
            self.days.drain(..self.days.len() - DAYS_KEPT);
        }
        self.position = self.position.or(other.position);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(site: &str, at: &str, finding: &str) -> Row {
        Row { site: site.into(), at: at.into(), finding: Some(finding.into()), ..Row::default() }
    }

    #[test]
    fn the_latest_record_counts_and_attributes_of_earlier_ones_stay() {
        let mut fleet = Fleet::default();
        fleet.add(row("weir", "2026-05-04T06:00:00Z", "radio/weak"));
        let mut earlier = row("weir", "2026-05-03T06:00:00Z", "connected");
        earlier.attributes.insert("firmware".into(), "03.07".into());
        earlier.levels.insert("rsrp_dbm".into(), -98.0);
        fleet.add(earlier);
        let site = fleet.site("weir").unwrap();
        assert!(matches!(site.state, State::Failing { .. }));
        assert_eq!((site.records, site.levels_before.as_slice()), (2, [-98.0].as_slice()));
        assert_eq!(fleet.attribute(site, "firmware"), Some("03.07"));
        fleet.add(row("weir", "2026-05-04T07:00:00Z", "connected"));
        assert_eq!(fleet.site("weir").unwrap().state, State::Connected);
        assert_eq!((fleet.sites.len(), fleet.records), (1, 3));
    }

    #[test]
    fn records_without_a_site_stay_apart_and_stale_ones_are_seen() {
        let mut fleet = Fleet::default();
        fleet.add(Row { error: Some("torn".into()), ..Row::default() });
        fleet.add(Row { error: Some("torn".into()), ..Row::default() });
        fleet.add(row("old", "2026-05-01T06:00:00Z", "connected"));
        fleet.add(row("new", "2026-05-04T06:00:00Z", "connected"));
        assert_eq!((fleet.sites.len(), fleet.unusable), (4, 2));
        let stale = |name| fleet.is_stale(fleet.site(name).unwrap(), TimeDelta::hours(48));
        assert!(stale("old") && !stale("new"));
    }
}
