//! The overview for a terminal: worst first, each group with its reason, its sites and what they share.

use super::change::Change;
use super::fleet::State;
use super::overview::Overview;
use crate::explanation::lines_of;
use crate::rules::Acts;
use crate::sanitize::plain;
use std::fmt::{self, Write};

/// So many sites of a group are named.
const SITES: usize = 12;

/// So many sites that stand apart are named with their reason.
const REASONS: usize = 20;

/// Writes the overview, broken at `width` columns.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn text(overview: &Overview<'_>, width: usize, out: &mut impl Write) -> fmt::Result {
    totals(overview, width, out)?;
    for number in 0..overview.groups.len() {
        group(overview, number, width, out)?;
    }
    let sites = &overview.fleet.sites;
    let all = |state| overview.sites_in(state);
    list(overview, "Not enough to tell", &all(State::Unclear), width, out)?;
    let weaker: Vec<usize> =
        (0..sites.len()).filter(|p| overview.changes[*p] == Change::Weaker).collect();
    list(overview, "Connected, but weaker than their own history", &weaker, width, out)?;
    list(
        overview,
        "Unreachable: nothing came from the site",
        &all(State::Unreachable),
        width,
        out,
    )?;
    if !overview.stale.is_empty() {
        let hours = overview.stale_after.num_hours();
        let title =
            format!("Stale: the latest record is more than {hours} h older than the newest of all");
        list(overview, &title, &overview.stale, width, out)?;
    }
    if !overview.gone.is_empty() {
        writeln!(out, "\nWithout a record in this run ({})", overview.gone.len())?;
        let names = overview.gone.iter().map(String::as_str);
        wrapped(out, width, "  ", &names_of(names, overview.gone.len()))?;
    }
    let unusable = all(State::Unusable);
    if !unusable.is_empty() {
        writeln!(out, "\nRecords that could not be used ({})", unusable.len())?;
        for place in unusable.iter().take(REASONS) {
            let site = &sites[*place];
            let line = format!(
                "{}: {}",
                plain(overview.fleet.text(site.name)),
                plain(overview.fleet.text(site.says))
            );
            wrapped(out, width, "  ", &line)?;
        }
        more(out, unusable.len(), REASONS)?;
    }
    Ok(())
}

fn totals(overview: &Overview<'_>, width: usize, out: &mut impl Write) -> fmt::Result {
    let fleet = overview.fleet;
    let mut parts = Vec::new();
    for state in ["connected", "failing", "unclear", "unreachable", "unusable"] {
        let count = overview.in_state(state);
        if count > 0 {
            parts.push(format!("{count} {state}"));
        }
    }
    let line = format!(
        "{} from {}: {}.",
        counted(fleet.records, "record"),
        counted(fleet.sites.len() as u64, "site"),
        if parts.is_empty() { "nothing to tell".into() } else { parts.join(", ") }
    );
    wrapped(out, width, "", &line)?;
    if overview.since {
        let every: Vec<usize> = (0..fleet.sites.len()).collect();
        let mut changed = words_of(&overview.changed(&every));
        if !overview.gone.is_empty() {
            changed.push(format!("{} without a record now", overview.gone.len()));
        }
        let changed =
            if changed.is_empty() { "nothing changed".into() } else { changed.join(", ") };
        wrapped(out, width, "", &format!("Since the earlier run: {changed}."))?;
    }
    Ok(())
}

/// A number with its noun.
pub(super) fn counted(count: u64, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

fn words_of(changed: &[(Change, usize)]) -> Vec<String> {
    changed.iter().map(|(kind, count)| format!("{count} {}", kind.word())).collect()
}

fn group(
    overview: &Overview<'_>,
    number: usize,
    width: usize,
    out: &mut impl Write,
) -> fmt::Result {
    let (fleet, group) = (overview.fleet, &overview.groups[number]);
    let changed = words_of(&overview.changed(&group.sites));
    let acts = match group.acts {
        Acts::Nobody => "nobody has to act".into(),
        acts => format!("to act: {}", acts.words()),
    };
    let certain = [(group.certain, "certain"), (group.likely, "likely")]
        .into_iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, word)| format!("{count} {word}"));
    let details: Vec<String> = certain.chain(changed).collect();
    let line = format!(
        "{}. {}: {} ({}); {acts}",
        number + 1,
        plain(fleet.text(group.finding)),
        counted(group.sites.len() as u64, "site"),
        details.join(", ")
    );
    out.write_char('\n')?;
    wrapped(out, width, "", &line)?;
    if let Some(place) = group.example(fleet) {
        let site = &fleet.sites[place];
        wrapped(out, width, "   ", &plain(fleet.text(site.says)))?;
        if let Some(evidence) = fleet.evidence(site) {
            let line = format!(
                "{}, line {}: {:?}: {}",
                plain(fleet.text(site.name)),
                evidence.line,
                plain(&evidence.text),
                plain(&evidence.says)
            );
            wrapped(out, width, "   ", &line)?;
        }
    }
    for shared in &overview.shared[number] {
        wrapped(out, width, "   ", &format!("In common: {}.", plain(&shared.sentence(fleet))))?;
    }
    let names = group.sites.iter().map(|place| fleet.text(fleet.sites[*place].name));
    wrapped(out, width, "   ", &format!("Sites: {}", names_of(names, group.sites.len())))
}

fn list(
    overview: &Overview<'_>,
    title: &str,
    places: &[usize],
    width: usize,
    out: &mut impl Write,
) -> fmt::Result {
    if places.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    wrapped(out, width, "", &format!("{title} ({})", places.len()))?;
    let names = places.iter().map(|place| overview.fleet.text(overview.fleet.sites[*place].name));
    wrapped(out, width, "  ", &names_of(names, places.len()))
}

fn names_of<'n>(names: impl Iterator<Item = &'n str>, count: usize) -> String {
    let shown: Vec<_> = names.take(SITES).map(|n| plain(n).into_owned()).collect();
    let more = count.saturating_sub(SITES);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!("{}{more}", shown.join(", "))
}

fn more(out: &mut impl Write, count: usize, shown: usize) -> fmt::Result {
    if count > shown { writeln!(out, "  and {} more", count - shown) } else { Ok(()) }
}

fn wrapped(out: &mut impl Write, width: usize, indent: &str, line: &str) -> fmt::Result {
    let options = lines_of(width.max(40)).initial_indent(indent).subsequent_indent(indent);
    for line in textwrap::wrap(line, options) {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::triage::fleet::Fleet;
    use crate::triage::row::{Row, RowEvidence};
    use chrono::TimeDelta;

    fn row(site: &str, day: u32, finding: Option<&str>) -> Row {
        Row {
            site: site.into(),
            at: format!("2026-05-{day:02}T06:00:00Z").into(),
            finding: finding.map(Into::into),
            certainty: Some("certain".into()),
            acts: Some("account-holder".into()),
            summary: Some("The network refuses this subscription.".into()),
            ..Row::default()
        }
    }

    #[test]
    fn an_overview_is_read_from_the_worst_to_what_stands_apart() {
        let refused = "registration/subscriber";
        let mut fleet = Fleet::default();
        for n in 0..6 {
            let mut row = row(&format!("weir-{n}"), 8, Some(refused));
            row.attributes.insert("card-range".into(), "89882110003".into());
            row.evidence = Some(RowEvidence {
                line: 4,
                text: "+CEREG: 3,3,0,8".into(),
                says: "EPS and non-EPS services not allowed".into(),
            });
            fleet.add(row);
        }
        for n in 0..30 {
            let mut row = row(&format!("lock-{n}"), 8, Some("connected"));
            row.attributes.insert("card-range".into(), "89882110001".into());
            fleet.add(row);
        }
        fleet.add(row("mill\u{1b}[2J", 8, Some("card/failure")));
        fleet.add(row("ford", 1, Some("connected")));
        fleet.add(row("hut", 8, Some("unclear")));
        fleet.add(Row { unreachable: true, error: Some("no text".into()), ..row("dam", 8, None) });
        fleet.add(Row {
            site: serde_json::Value::Null,
            error: Some("the line is empty".into()),
            ..row("", 8, None)
        });
        let mut earlier = Fleet::default();
        earlier.add(row("weir-0", 1, Some(refused)));
        earlier.add(row("lock-3", 1, Some(refused)));
        earlier.add(row("quay", 1, Some("connected")));
        let overview = Overview::of(&fleet, Some(&earlier), TimeDelta::hours(48));
        let mut page = String::new();
        text(&overview, 100, &mut page).unwrap();
        assert!(overview.needs_attention());
        assert_eq!(page, include_str!("overview.txt"));
    }
}
