//! All sites of a run, each with its latest record: what a morning's overview is made from.
//!
//! Words are kept once for the whole fleet, so memory grows with the sites and not with the records.

use super::row::{Row, RowEvidence};
use super::words::{Word, Words};
use crate::rules::{Acts, Certainty};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use std::collections::HashMap;
use std::collections::hash_map::Entry;

/// What is known of a site.
#[derive(Clone, Debug)]
pub struct Site {
    /// Its name.
    pub name: Word,
    /// The time of its latest record.
    pub at: Option<DateTime<Utc>>,
    /// Its records in this run.
    pub records: u32,
    /// What its latest record says.
    pub state: State,
    /// The finding in one sentence, or why there is none.
    pub says: Word,
    /// The line that shows it, where the site fails.
    evidence: Option<Evidence>,
    /// Its attributes, those of earlier records where the latest has none; by name.
    pub attributes: Box<[(Word, Word)]>,
    /// The latest level of the serving cell, dBm (RSRP).
    pub rsrp_dbm: Option<f32>,
    /// What its records before that say; most sites of a large fleet have one alone.
    before: Option<Box<Before>>,
    /// Latitude and longitude.
    pub position: Option<(f64, f64)>,
    /// Whether the record names no site.
    pub unnamed: bool,
}

/// The line that shows a finding.
#[derive(Clone, Copy, Debug)]
struct Evidence {
    line: u32,
    text: Word,
    says: Word,
}

/// What the earlier records of a site say.
#[derive(Clone, Debug, Default)]
struct Before {
    /// The levels before the latest, at most 32.
    levels: Vec<f32>,
    /// The days with records, in order, that of the latest among them, at most 62.
    days: Vec<(NaiveDate, bool)>,
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
    places: HashMap<Word, u32, foldhash::fast::RandomState>,
    words: Words,
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
        let says = self.words.keep(says);
        let attributes =
            row.attributes.iter().map(|(n, w)| (self.words.keep(n), self.words.keep(w))).collect();
        #[expect(clippy::cast_possible_truncation, reason = "levels have one decimal")]
        let level = row.levels.get("rsrp_dbm").map(|l| *l as f32);
        let evidence = row.evidence.filter(|_| matches!(state, State::Failing { .. }));
        let evidence = evidence.map(|e| Evidence {
            line: u32::try_from(e.line).unwrap_or(u32::MAX),
            text: self.words.keep(&e.text),
            says: self.words.keep(&e.says),
        });
        let new = Site {
            name: self.words.keep(&name),
            at,
            records: 1,
            state,
            says,
            evidence,
            attributes,
            rsrp_dbm: level,
            before: None,
            position: row.latitude.zip(row.longitude),
            unnamed,
        };
        // Sites of a run are far fewer than 2^32: each takes more than a byte of memory.
        let next = u32::try_from(self.sites.len()).unwrap_or(u32::MAX);
        match self.places.entry(new.name) {
            Entry::Occupied(place) => self.sites[*place.get() as usize].follow(new),
            Entry::Vacant(place) => {
                place.insert(next);
                self.sites.push(new);
            }
        }
    }

    /// Notes where sites are, by their names.
    pub fn place(&mut self, positions: &HashMap<String, (f64, f64)>) {
        for site in &mut self.sites {
            let named = positions.get(self.words.text(site.name));
            site.position = named.copied().or(site.position);
        }
    }

    fn state(&mut self, row: &Row) -> State {
        match row.finding.as_deref() {
            _ if row.unreachable => State::Unreachable,
            None => State::Unusable,
            Some("connected") => State::Connected,
            Some("unclear") => State::Unclear,
            Some(finding) => State::Failing {
                finding: self.words.keep(finding),
                kind_of: row.kind_of.as_deref().map(|listed| self.words.keep(listed)),
                acts: row.acts.as_deref().and_then(Acts::named).unwrap_or(Acts::Installer),
                certainty: row
                    .certainty
                    .as_deref()
                    .and_then(Certainty::named)
                    .unwrap_or(Certainty::Possible),
            },
        }
    }

    /// The text of a word.
    pub fn text(&self, word: Word) -> &str {
        self.words.text(word)
    }

    /// A site by its name.
    pub fn site(&self, name: &str) -> Option<&Site> {
        let place = self.places.get(&self.words.find(name)?)?;
        Some(&self.sites[*place as usize])
    }

    /// The line that shows the finding of a site that fails.
    pub fn evidence(&self, site: &Site) -> Option<RowEvidence> {
        let Evidence { line, text, says } = site.evidence?;
        let [text, says] = [text, says].map(|word| self.text(word).to_owned());
        Some(RowEvidence { line: line as usize, text, says })
    }

    /// An attribute of a site by its name.
    pub fn attribute(&self, site: &Site, name: &str) -> Option<&str> {
        let name = self.words.find(name)?;
        site.attribute(name).map(|word| self.text(word))
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

    /// Whether its finding has a line that shows it.
    pub const fn has_evidence(&self) -> bool {
        self.evidence.is_some()
    }

    /// The levels before the latest, at most 32.
    pub fn levels_before(&self) -> &[f32] {
        self.before.as_ref().map_or(&[], |before| &before.levels)
    }

    /// The days on which it has records, in order, and whether it failed or gave nothing in the last record of each; at
    /// most 62.
    pub fn days(&self) -> Vec<(NaiveDate, bool)> {
        match &self.before {
            Some(before) => before.days.clone(),
            None => {
                self.at.map(|at| (at.date_naive(), self.state.is_trouble())).into_iter().collect()
            }
        }
    }

    /// Takes another record of the same site: the later time counts, without times the later record.
    fn follow(&mut self, other: Self) {
        let older = self.at.zip(other.at).is_some_and(|(now, other)| other < now);
        let mut other = other;
        if !older {
            std::mem::swap(self, &mut other);
        }
        self.records += other.records;
        let missing: Vec<_> =
            other.attributes.iter().filter(|a| self.attribute(a.0).is_none()).copied().collect();
        if !missing.is_empty() {
            self.attributes = self.attributes.iter().copied().chain(missing).collect();
        }
        let (mut days, earlier_days) = (self.days(), other.days());
        let mut levels = other.before.take().map_or_else(Vec::new, |before| before.levels);
        levels.extend(self.levels_before());
        levels.extend(other.rsrp_dbm);
        levels.drain(..levels.len().saturating_sub(LEVELS_KEPT));
        for (day, trouble) in earlier_days {
            if let Err(place) = days.binary_search_by_key(&day, |d| d.0) {
                days.insert(place, (day, trouble));
            }
        }
        days.drain(..days.len().saturating_sub(DAYS_KEPT));
        self.before = Some(Box::new(Before { levels, days }));
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
        assert_eq!((site.records, site.levels_before()), (2, [-98.0].as_slice()));
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
