//! Sites that fail for the same reason and for the same people to act on, the largest group first.

use super::fleet::{Fleet, State};
use super::words::Word;
use crate::rules::{Acts, Certainty, Layer};

/// Sites that fail alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// The finding.
    pub finding: Word,
    /// Who can act first.
    pub acts: Acts,
    /// The places of its sites in the fleet, the surest finding first, then by name.
    pub sites: Vec<usize>,
    /// How many of them are certain, likely and possible.
    pub certain: usize,
    /// Those that are likely.
    pub likely: usize,
}

impl Group {
    /// The place of the site whose evidence stands for the group: the first that has some.
    pub fn example(&self, fleet: &Fleet) -> Option<usize> {
        self.sites.iter().copied().find(|place| fleet.sites[*place].has_evidence())
    }
}

/// The groups of all failing sites: the largest first, among equals the lowest layer.
pub fn groups(fleet: &Fleet) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (place, site) in fleet.sites.iter().enumerate() {
        let State::Failing { finding, acts, certainty, .. } = site.state else { continue };
        let at = groups.iter().position(|g| g.finding == finding && g.acts == acts);
        let at = at.unwrap_or_else(|| {
            groups.push(Group { finding, acts, sites: Vec::new(), certain: 0, likely: 0 });
            groups.len() - 1
        });
        groups[at].sites.push(place);
        match certainty {
            Certainty::Certain => groups[at].certain += 1,
            Certainty::Likely => groups[at].likely += 1,
            Certainty::Possible => {}
        }
    }
    for group in &mut groups {
        group.sites.sort_by_key(|place| {
            let site = &fleet.sites[*place];
            let State::Failing { certainty, .. } = site.state else {
                return (std::cmp::Reverse(Certainty::Possible), fleet.text(site.name));
            };
            (std::cmp::Reverse(certainty), fleet.text(site.name))
        });
    }
    groups.sort_by_key(|g| {
        let id = fleet.text(g.finding);
        (std::cmp::Reverse(g.sites.len()), layer(id), id, g.acts)
    });
    groups
}

/// The layer of a finding; above all layers where a later program knows one more.
pub(super) fn layer(finding: &str) -> Option<Layer> {
    Layer::named(finding.split('/').next()?)
}
