//! What the sites of a group have in common that the healthy ones have not.
//!
//! Each value of each attribute is held against the healthy sites by Fisher's exact test; over all groups together the
//! share of chance findings is bounded (Benjamini and Hochberg). Only sites that are known to have some value of the
//! attribute are counted. Values that come with another one and add nothing to it are left out; values that cannot be
//! told apart are named together. Nothing is claimed from fewer than [`LEAST`] sites.

use super::fleet::{Fleet, Site, State};
use super::group::Group;
use super::words::Word;
use crate::statistics::{FALSE_ALARMS, Table, chance_within, discoveries};
use std::collections::{BTreeMap, HashMap};

/// Fewer sites are no evidence of anything they share.
pub const LEAST: u64 = 5;

/// Two values on sites that are the same to this share cannot be told apart.
const SAME_SITES: f64 = 0.9;

/// A value that is more likely than this to be as frequent beside the other one adds nothing to it.
const ADDS: f64 = 0.01;

/// At most so many values are held against each other in one group.
const MOST: usize = 12;

/// An attribute with one of its values.
pub type Trait = (Word, Word);

/// What a group has in common.
#[derive(Clone, Debug)]
pub struct Shared {
    /// The values that cannot be told apart, the likeliest first.
    pub traits: Vec<Trait>,
    /// How the first of them is spread.
    pub table: Table,
    /// The chance of it, if it had nothing to do with failing; of what it adds to those named before it.
    pub chance: f64,
}

impl Shared {
    /// The sentence for people.
    pub fn sentence(&self, fleet: &Fleet) -> String {
        let t = &self.table;
        let named: Vec<String> = self.traits.iter().map(|t| trait_words(fleet, *t)).collect();
        let bounds = t.difference_bounds();
        let percent = |share: f64| format!("{:.0}", share * 100.0);
        let together = match named.len() {
            1 => "",
            2 => " (these two come together, so which of them matters cannot be decided)",
            _ => " (these come together, so which of them matters cannot be decided)",
        };
        format!(
            "{} of {} failing sites have {}{together}; {} of {} healthy ones do: {} points more (95 % bounds {} to {}; chance {})",
            t.failing_with,
            t.failing(),
            named.join(" and "),
            t.healthy_with,
            t.healthy(),
            percent(t.difference()),
            percent(bounds.low),
            percent(bounds.high),
            if self.chance < 1e-12 { "below 1e-12".into() } else { format!("{:.0e}", self.chance) },
        )
    }
}

/// An attribute and its value in words.
pub fn trait_words(fleet: &Fleet, (name, value): Trait) -> String {
    let name = fleet.text(name);
    let name = name.strip_prefix("tag:").unwrap_or(name).replace('-', " ");
    format!("{name} {}", fleet.text(value))
}

/// What each group has in common, in the order of the groups; the surest first.
pub fn shared(fleet: &Fleet, groups: &[Group]) -> Vec<Vec<Shared>> {
    let healthy: Vec<usize> = (0..fleet.sites.len())
        .filter(|place| fleet.sites[*place].state == State::Connected)
        .collect();
    let of_healthy = Counts::of(fleet, &healthy);
    let mut tests: Vec<(usize, Trait, Table, f64)> = Vec::new();
    for (number, group) in groups.iter().enumerate() {
        let of_failing = Counts::of(fleet, &group.sites);
        let mut found: Vec<(Trait, Table)> = of_failing
            .with
            .keys()
            .chain(of_healthy.with.keys().filter(|t| !of_failing.with.contains_key(t)))
            .map(|t| (*t, Table::between(&of_failing, &of_healthy, *t)))
            // These sums say nothing about the outcome, so leaving tests out by them is fair.
            .filter(|(_, t)| t.failing() >= LEAST && t.healthy() >= LEAST && t.with() >= LEAST)
            .collect();
        found.sort_by_key(|(t, _)| *t);
        tests.extend(found.into_iter().map(|(t, table)| (number, t, table, table.chance())));
    }
    let chances: Vec<f64> = tests.iter().map(|t| t.3).collect();
    let counts = discoveries(&chances, FALSE_ALARMS);
    let mut of_groups: Vec<Vec<Shared>> = vec![Vec::new(); groups.len()];
    for ((number, shared, table, chance), counts) in tests.into_iter().zip(counts) {
        if counts && table.failing_with >= LEAST && table.difference() > 0.0 {
            of_groups[number].push(Shared { traits: vec![shared], table, chance });
        }
    }
    let mut of_groups: Vec<Vec<Shared>> = groups
        .iter()
        .zip(of_groups)
        .map(|(group, mut found)| {
            found.sort_by(|a, b| {
                let difference = b.table.difference().total_cmp(&a.table.difference());
                a.chance.total_cmp(&b.chance).then(difference)
            });
            found.truncate(MOST);
            apart(fleet, &group.sites, &healthy, found)
        })
        .collect();
    // Values that come with a cause were discoveries, too, and are gone now: the rest is held to the rate once more,
    // still as so many of all tests.
    let kept = of_groups.iter().flatten().map(|s| s.chance);
    let others = chances.len() - of_groups.iter().flatten().count();
    let all: Vec<f64> = kept.chain(std::iter::repeat_n(1.0, others)).collect();
    let mut counts = discoveries(&all, FALSE_ALARMS).into_iter();
    for found in &mut of_groups {
        found.retain(|_| counts.next().unwrap_or(false));
    }
    of_groups
}

/// How many sites have each value, and how many have any value of an attribute.
struct Counts {
    with: HashMap<Trait, u64>,
    known: HashMap<Word, u64>,
}

impl Counts {
    fn of(fleet: &Fleet, places: &[usize]) -> Self {
        let mut counts = Self { with: HashMap::new(), known: HashMap::new() };
        for (name, value) in places.iter().flat_map(|place| &fleet.sites[*place].attributes) {
            *counts.with.entry((*name, *value)).or_default() += 1;
            *counts.known.entry(*name).or_default() += 1;
        }
        counts
    }
}

impl Table {
    fn between(failing: &Counts, healthy: &Counts, of: Trait) -> Self {
        let split = |counts: &Counts| {
            let with = counts.with.get(&of).copied().unwrap_or(0);
            (with, counts.known.get(&of.0).copied().unwrap_or(0) - with)
        };
        let ((failing_with, failing_without), (healthy_with, healthy_without)) =
            (split(failing), split(healthy));
        Self { failing_with, failing_without, healthy_with, healthy_without }
    }
}

/// Puts values together that cannot be told apart, and leaves out those that another one explains.
fn apart(fleet: &Fleet, failing: &[usize], healthy: &[usize], found: Vec<Shared>) -> Vec<Shared> {
    let sites = |places: &[usize]| places.iter().map(|p| &fleet.sites[*p]).collect::<Vec<_>>();
    let (failing, healthy) = (sites(failing), sites(healthy));
    let mut kept: Vec<Shared> = Vec::new();
    for next in found {
        let this = next.traits[0];
        let same =
            kept.iter().position(|k| overlap(&failing, &healthy, k.traits[0], this) >= SAME_SITES);
        if let Some(at) = same {
            kept[at].traits.push(this);
            continue;
        }
        let others: Vec<Trait> = kept.iter().map(|k| k.traits[0]).collect();
        let beside = chance_within(&strata(&failing, &healthy, this, &others));
        if beside <= ADDS {
            let chance = if others.is_empty() { next.chance } else { next.chance.max(beside) };
            kept.push(Shared { chance, ..next });
            continue;
        }
        // It adds nothing to the others. Where another one adds nothing to it either, nobody can tell the two apart.
        let alike = kept
            .iter()
            .position(|k| chance_within(&strata(&failing, &healthy, k.traits[0], &[this])) > ADDS);
        if let Some(at) = alike {
            kept[at].traits.push(this);
        }
    }
    kept
}

fn has(site: &Site, (name, value): Trait) -> Option<bool> {
    site.attribute(name).map(|v| v == value)
}

/// The sites with both values, as a share of those with either.
fn overlap(failing: &[&Site], healthy: &[&Site], a: Trait, b: Trait) -> f64 {
    let (mut both, mut either) = (0.0, 0.0);
    for site in failing.iter().chain(healthy) {
        match (has(site, a), has(site, b)) {
            (Some(true), Some(true)) => (both, either) = (both + 1.0, either + 1.0),
            (Some(true), Some(false)) | (Some(false), Some(true)) => either += 1.0,
            _ => {}
        }
    }
    if either > 0.0 { both / either } else { 0.0 }
}

/// The tables of one value among sites that are alike in the others.
fn strata(failing: &[&Site], healthy: &[&Site], this: Trait, others: &[Trait]) -> Vec<Table> {
    let mut strata: BTreeMap<Vec<bool>, Table> = BTreeMap::new();
    let all = failing.iter().map(|s| (s, true)).chain(healthy.iter().map(|s| (s, false)));
    for (site, fails) in all {
        let Some(with) = has(site, this) else { continue };
        let Some(key) = others.iter().map(|o| has(site, *o)).collect::<Option<Vec<bool>>>() else {
            continue;
        };
        let table = strata.entry(key).or_default();
        *match (fails, with) {
            (true, true) => &mut table.failing_with,
            (true, false) => &mut table.failing_without,
            (false, true) => &mut table.healthy_with,
            (false, false) => &mut table.healthy_without,
        } += 1;
    }
    strata.into_values().collect()
}

#[cfg(test)]
mod tests;
