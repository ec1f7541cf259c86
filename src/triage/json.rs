//! The overview as one JSON object, for programs.

use super::change::Change;
use super::fleet::State;
use super::overview::Overview;
use super::share::Shared;
use serde_json::{Map, Value, json};

/// The object.
pub fn json(overview: &Overview<'_>) -> Value {
    let fleet = overview.fleet;
    let names = |places: &[usize]| -> Value {
        places.iter().map(|place| Value::from(fleet.text(fleet.sites[*place].name))).collect()
    };
    let states = ["connected", "failing", "unclear", "unreachable", "unusable"];
    let states: Map<String, Value> =
        states.into_iter().map(|word| (word.into(), overview.in_state(word).into())).collect();
    let every: Vec<usize> = (0..fleet.sites.len()).collect();
    let groups: Vec<Value> = overview
        .groups
        .iter()
        .zip(&overview.shared)
        .map(|(group, shared)| {
            let example = group.example(fleet).map(|place| {
                let site = &fleet.sites[place];
                json!({"site": fleet.text(site.name), "summary": fleet.text(site.says), "evidence": fleet.evidence(site)})
            });
            json!({
                "finding": fleet.text(group.finding),
                "acts": group.acts.word(),
                "certain": group.certain,
                "likely": group.likely,
                "changes": counts(&overview.changed(&group.sites)),
                "sites": names(&group.sites),
                "example": example,
                "shared": shared.iter().map(|s| one(overview, s)).collect::<Vec<_>>(),
            })
        })
        .collect();
    let unusable = overview.sites_in(State::Unusable);
    let unusable: Vec<Value> = unusable
        .iter()
        .map(|place| &fleet.sites[*place])
        .map(|site| json!({"site": fleet.text(site.name), "why": fleet.text(site.says)}))
        .collect();
    json!({
        "format": 1,
        "records": fleet.records,
        "sites": fleet.sites.len(),
        "states": states,
        "changes": overview.since.then(|| counts(&overview.changed(&every))),
        "groups": groups,
        "unclear": names(&overview.sites_in(State::Unclear)),
        "unreachable": names(&overview.sites_in(State::Unreachable)),
        "stale": names(&overview.stale),
        "gone": overview.gone,
        "unusable": unusable,
    })
}

fn counts(changed: &[(Change, usize)]) -> Map<String, Value> {
    changed.iter().map(|(kind, count)| (kind.word().into(), (*count).into())).collect()
}

fn one(overview: &Overview<'_>, shared: &Shared) -> Value {
    let fleet = overview.fleet;
    let attributes = shared.traits.iter();
    let attributes: Vec<Value> = attributes
        .map(|(name, value)| json!({"name": fleet.text(*name), "value": fleet.text(*value)}))
        .collect();
    let (table, bounds) = (&shared.table, shared.table.difference_bounds());
    json!({
        "attributes": attributes,
        "failing_with": table.failing_with,
        "failing_without": table.failing_without,
        "healthy_with": table.healthy_with,
        "healthy_without": table.healthy_without,
        "difference": table.difference(),
        "difference_low": bounds.low,
        "difference_high": bounds.high,
        "chance": shared.chance,
        "sentence": shared.sentence(fleet),
    })
}
