//! The overview of a fleet: totals, groups with what they share, changes, and the sites that stand apart.

use super::change::{Change, change};
use super::fleet::{Fleet, State};
use super::group::{Group, groups};
use super::share::{Shared, shared};
use chrono::TimeDelta;
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
}

impl<'f> Overview<'f> {
    /// Looks over a fleet, held against an earlier run where there is one.
    pub fn of(fleet: &'f Fleet, earlier: Option<&Fleet>, stale_after: TimeDelta) -> Self {
        let groups = groups(fleet);
        let shared = shared(fleet, &groups);
        let changes = fleet.sites.iter().map(|site| change(fleet, site, earlier)).collect();
        let gone = earlier.iter().flat_map(|e| &e.sites);
        let mut gone: Vec<String> = gone
            .filter(|site| !site.unnamed && fleet.site(&site.name).is_none())
            .map(|site| site.name.to_string())
            .collect();
        gone.sort_unstable();
        let mut stale: Vec<usize> = (0..fleet.sites.len())
            .filter(|place| fleet.is_stale(&fleet.sites[*place], stale_after))
            .collect();
        stale.sort_by_key(|place| fleet.sites[*place].at);
        Self { fleet, groups, shared, changes, since: earlier.is_some(), gone, stale, stale_after }
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
        places.sort_by_key(|place| &sites[*place].name);
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
