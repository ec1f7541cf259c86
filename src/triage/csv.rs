//! The sites as a table for spreadsheets: one line a site, its latest record; no field begins a formula.

use super::attributes::NAMES;
use super::fleet::{Fleet, Site, State};
use super::overview::Overview;
use crate::survey::output::field;
use chrono::SecondsFormat;

/// Writes the table.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn csv(overview: &Overview<'_>, out: &mut impl std::io::Write) -> Result<(), csv::Error> {
    let fleet = overview.fleet;
    let tags: Vec<_> = fleet
        .attribute_names()
        .into_iter()
        .map(|word| fleet.text(word).to_owned())
        .filter(|name| !NAMES.contains(&name.as_str()))
        .collect();
    let mut table = csv::Writer::from_writer(out);
    let head = [
        "site",
        "at",
        "state",
        "change",
        "finding",
        "certainty",
        "acts",
        "summary",
        "records",
        "stale",
    ];
    let rest = ["rsrp_dbm", "latitude", "longitude"];
    let head = head.into_iter().chain(NAMES).chain(rest).map(ToOwned::to_owned);
    table.write_record(head.chain(tags.iter().map(|tag| field(tag))))?;
    for (place, site) in fleet.sites.iter().enumerate() {
        let [finding, certainty, acts] = verdict(fleet, site);
        let optional = |n: Option<f64>| n.map_or_else(String::new, |n| n.to_string());
        let cells = [
            field(fleet.text(site.name)),
            site.at.map_or_else(String::new, |at| at.to_rfc3339_opts(SecondsFormat::Secs, true)),
            site.state.word().into(),
            overview.changes[place].word().into(),
            field(finding),
            certainty.into(),
            acts.into(),
            field(fleet.text(site.says)),
            site.records.to_string(),
            fleet.is_stale(site, overview.stale_after).to_string(),
        ];
        let attribute = |name: &str| field(fleet.attribute(site, name).unwrap_or_default());
        let (latitude, longitude) = site.position.unzip();
        let rest = [site.rsrp_dbm.map(f64::from), latitude, longitude].map(optional);
        let cells = cells.into_iter().chain(NAMES.map(attribute)).chain(rest);
        table.write_record(cells.chain(tags.iter().map(|tag| attribute(tag))))?;
    }
    table.flush()?;
    Ok(())
}

/// Finding, certainty and who acts, as words; empty where there is none.
pub(super) fn verdict<'f>(fleet: &'f Fleet, site: &Site) -> [&'f str; 3] {
    match site.state {
        State::Failing { finding, certainty, acts, .. } => {
            [fleet.text(finding), certainty.word(), acts.word()]
        }
        State::Connected => ["connected", "", "nobody"],
        State::Unclear => ["unclear", "", "installer"],
        State::Unreachable | State::Unusable => ["", "", ""],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::triage::row::Row;
    use chrono::TimeDelta;

    #[test]
    fn a_table_has_a_line_a_site_and_no_formula() {
        let mut fleet = Fleet::default();
        let mut row =
            Row { site: "=cmd".into(), finding: Some("connected".into()), ..Row::default() };
        row.attributes.insert("tag:depot".into(), "north, \"old\"".into());
        row.attributes.insert("model".into(), "G2".into());
        fleet.add(row);
        let mut out = Vec::new();
        csv(&Overview::of(&fleet, None, TimeDelta::hours(48)), &mut out).unwrap();
        let text = String::from_utf8(out).unwrap();
        let lines: Vec<_> = text.lines().collect();
        assert!(
            lines[0].starts_with("site,at,state,change,finding,")
                && lines[0].ends_with("longitude,tag:depot")
        );
        assert_eq!(
            lines[1],
            "'=cmd,,connected,same,connected,,nobody,,1,false,,,,,,G2,,,,,,,,\"north, \"\"old\"\"\""
        );
    }
}
