//! The overview of a fleet: totals, groups with what they share, changes, and the sites that stand apart.

use super::change::{Change, change};
use super::fleet::{Fleet, Site, State};
use super::group::{Group, groups};
use super::share::{Shared, shared};
use crate::plot::DayBar;
use chrono::{NaiveDate, TimeDelta};
use std::collections::BTreeMap;
use strum::VariantArray;

/// The one value that every output of a whole fleet is made from.
#[derive(Debug)]
pub struct Overview<'f> {
    /// The fleet.
    pub fleet: &'f Fleet,
    /// The groups of failing sites, worst first.
    pub groups: Vec<Group>,
    /// What each group has in common.
    pub shared: Vec<Vec<Shared>>,
    /// What became of each site, in the order of the fleet.
    pub changes: Vec<Change>,
    /// Whether it was held against an earlier run.
    pub since: bool,
    /// The names of the sites of the earlier run that have no record now.
    pub gone: Vec<String>,
    /// The places of the sites whose latest record is old.
    pub stale: Vec<usize>,
    /// After how long a record is old.
    pub stale_after: TimeDelta,
    /// How many sites failed or gave nothing on each day with records, of this run and of the earlier one.
    pub days: Vec<DayBar>,
}

impl<'f> Overview<'f> {
    /// Looks over a fleet, held against an earlier run where there is one.
    pub fn of(fleet: &'f Fleet, earlier: Option<&Fleet>, stale_after: TimeDelta) -> Self {
        let groups = groups(fleet);
        let shared = shared(fleet, &groups);
        let changes = fleet.sites.iter().map(|site| change(fleet, site, earlier)).collect();
        let name = |site: &Site| earlier.map_or("", |e| e.text(site.name));
        let gone = earlier.iter().flat_map(|e| &e.sites);
        let mut gone: Vec<String> = gone
            .filter(|site| !site.unnamed && fleet.site(name(site)).is_none())
            .map(|site| name(site).to_owned())
            .collect();
        gone.sort_unstable();
        let mut stale: Vec<usize> = (0..fleet.sites.len())
            .filter(|place| fleet.is_stale(&fleet.sites[*place], stale_after))
            .collect();
        stale.sort_by_key(|place| fleet.sites[*place].at);
        let since = earlier.is_some();
        let days = days(fleet, earlier);
        Self { fleet, groups, shared, changes, since, gone, stale, stale_after, days }
    }

    /// How many sites are in a state, by its word.
    pub fn in_state(&self, word: &str) -> usize {
        self.fleet.sites.iter().filter(|s| s.state.word() == word).count()
    }

    /// The places of the sites in a state, by name.
    pub fn sites_in(&self, state: State) -> Vec<usize> {
        let sites = &self.fleet.sites;
        let mut places: Vec<usize> =
            (0..sites.len()).filter(|place| sites[*place].state == state).collect();
        places.sort_by_key(|place| self.fleet.text(sites[*place].name));
        places
    }

    /// How many of these sites changed in each way that is worth telling.
    pub fn changed(&self, places: &[usize]) -> Vec<(Change, usize)> {
        Change::VARIANTS
            .iter()
            .filter(|kind| **kind != Change::Same)
            .map(|kind| (*kind, places.iter().filter(|p| self.changes[**p] == *kind).count()))
            .filter(|(_, count)| *count > 0)
            .collect()
    }

    /// Whether somebody should look: a site fails or could not be asked, a record was unusable.
    pub fn needs_attention(&self) -> bool {
        self.fleet.sites.iter().any(|s| s.state != State::Connected)
            || !self.gone.is_empty()
            || !self.stale.is_empty()
            || self.changes.contains(&Change::Weaker)
    }
}

/// The sites with records on each day; where both runs have a day of a site, this one counts.
fn days(fleet: &Fleet, earlier: Option<&Fleet>) -> Vec<DayBar> {
    let mut days: BTreeMap<NaiveDate, (u64, u64)> = BTreeMap::new();
    let mut count = |(day, trouble): (NaiveDate, bool)| {
        let (part, all) = days.entry(day).or_default();
        *part += u64::from(trouble);
        *all += 1;
    };
    fleet.sites.iter().flat_map(Site::days).for_each(&mut count);
    for (earlier, before) in earlier.iter().flat_map(|e| e.sites.iter().map(move |site| (e, site)))
    {
        let now = fleet.site(earlier.text(before.name)).map_or_else(Vec::new, Site::days);
        let unknown = before.days().into_iter().filter(|day| now.iter().all(|d| d.0 != day.0));
        unknown.for_each(&mut count);
    }
    days.into_iter().map(|(day, (part, all))| DayBar { day, part, all }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::triage::row::Row;

    #[test]
    fn a_site_counts_once_a_day_in_the_state_of_its_last_record() {
        let row = |site: &str, at: &str, finding: &str| Row {
            site: site.into(),
            at: at.into(),
            finding: Some(finding.into()),
            ..Row::default()
        };
        let (mut earlier, mut now) = (Fleet::default(), Fleet::default());
        earlier.add(row("a", "2026-05-03T06:00:00Z", "connected"));
        earlier.add(row("a", "2026-05-03T07:00:00Z", "radio/weak"));
        earlier.add(row("b", "2026-05-04T07:00:00Z", "radio/weak"));
        now.add(row("a", "2026-05-04T06:00:00Z", "radio/weak"));
        now.add(row("a", "2026-05-04T08:00:00Z", "connected"));
        now.add(row("b", "2026-05-04T09:00:00Z", "connected"));
        let overview = Overview::of(&now, Some(&earlier), TimeDelta::hours(48));
        let counts: Vec<_> = overview.days.iter().map(|d| (d.part, d.all)).collect();
        assert_eq!(counts, [(1, 1), (0, 2)]);
    }
}
