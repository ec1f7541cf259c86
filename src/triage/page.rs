//! The overview as one self-contained page: totals, groups, a map, and a table of all sites to sort and filter.

use super::change::Change;
use super::csv::verdict;
use super::fleet::{Site, State};
use super::group::Group;
use super::overview::Overview;
use super::share::trait_words;
use super::text::counted;
use crate::plot::{self, Dot};
use crate::sanitize::plain;
use chrono::SecondsFormat;
use maud::{Markup, PreEscaped, html};
use serde::Serialize;
use std::collections::HashMap;

/// The script of the table.
const SCRIPT: &str = include_str!("page.js");

/// The shapes of the map, the worst first.
const CLASSES: [&str; 5] = ["connected", "failing", "unclear", "unreachable", "unusable"];

/// So many sites that stand apart are named.
const NAMED: usize = 50;

/// The page.
pub fn page(overview: &Overview<'_>) -> String {
    let fleet = overview.fleet;
    let sites = counted(fleet.sites.len() as u64, "site");
    let title = format!("{sites}, {} failing", overview.in_state("failing"));
    let body = html! {
        h1 { (title) }
        @if let Some(newest) = fleet.newest {
            p { "Latest record: " (newest.to_rfc3339_opts(SecondsFormat::Secs, true)) "." }
        }
        table {
            tr { @for state in CLASSES { th.n { (state) } } @if overview.since { @for kind in changes() { th.n { (kind.word()) } } } }
            tr {
                @for state in CLASSES { td.n { (overview.in_state(state)) } }
                @if overview.since { @for kind in changes() { td.n { (overview.changes.iter().filter(|c| **c == kind).count()) } } }
            }
        }
        h2 { "Groups, the largest first" }
        @if overview.groups.is_empty() { p { "No site fails." } } @else { (index(overview)) }
        @if overview.days.len() > 1 {
            h2 { "Trend: the sites with records on each day" }
            (plot::by_day(&overview.days, ["failing or unreachable", "others"]))
        }
        @for number in 0..overview.groups.len() { (group(overview, number)) }
        @let dots = dots(overview);
        @if !dots.is_empty() { h2 { "Map" } (plot::map(&dots, &CLASSES)) }
        (apart("Stale: no record for more than the set time", &overview.stale, overview))
        @if !overview.gone.is_empty() {
            h2 { "Without a record in this run (" (overview.gone.len()) ")" }
            p { (names(overview.gone.iter().map(String::as_str), overview.gone.len())) }
        }
        h2 { "All sites" }
        p {
            label for="filter" { "Only sites with these words: " } input id="filter" type="search" size="40";
            " " button id="back" type="button" { "back" } " " button id="on" type="button" { "on" } " "
            span id="count" role="status" {}
        }
        noscript { p { "The table needs scripts; `mastside triage --format csv` gives the same as a file." } }
        @let table = table(overview);
        div class="wide" { table id="table" class="sites" {
            thead { tr { @for column in &table.columns {
                th aria-sort="none" { button type="button" { (plain(&column.name)) span {} } }
            } } }
            tbody {}
        } }
        // Inside a script element only `<` can end it.
        script id="sites" type="application/json" {
            (PreEscaped(serde_json::to_string(&table).unwrap_or_default().replace('<', "\\u003c")))
        }
    };
    plot::page_with_script(&title, &body, SCRIPT)
}

/// The changes that are worth telling.
fn changes() -> impl Iterator<Item = Change> {
    [Change::New, Change::Worse, Change::Weaker, Change::Better, Change::Cured].into_iter()
}

/// How sure a group is, and what changed in it.
fn details(overview: &Overview<'_>, group: &Group) -> Vec<String> {
    let sure = [(group.certain, "certain"), (group.likely, "likely")].into_iter();
    let changed = overview.changed(&group.sites).into_iter();
    let all = sure.chain(changed.map(|(kind, count)| (count, kind.word())));
    all.filter(|(count, _)| *count > 0).map(|(count, word)| format!("{count} {word}")).collect()
}

/// The groups on one screen: how many sites, who acts, what they have in common.
fn index(overview: &Overview<'_>) -> Markup {
    let fleet = overview.fleet;
    html! { table {
        tr { th.n { "sites" } th { "finding" } th { "to act" } th { "how sure, and what changed" } th { "in common" } }
        @for (number, group) in overview.groups.iter().enumerate() { tr {
            td.n { (group.sites.len()) }
            td.one { a href={ "#group-" (number + 1) } { (plain(fleet.text(group.finding))) } }
            td { (group.acts.words()) }
            td { (details(overview, group).join(", ")) }
            td {
                @for (n, trait_) in overview.shared[number].iter().flat_map(|s| &s.traits).enumerate() {
                    @if n > 0 { ", " } (plain(&trait_words(fleet, *trait_)))
                }
            }
        } }
    } }
}

fn group(overview: &Overview<'_>, number: usize) -> Markup {
    let (fleet, group) = (overview.fleet, &overview.groups[number]);
    let finding = plain(fleet.text(group.finding));
    let example = group.example(fleet).map(|place| &fleet.sites[place]);
    html! {
        h3 id={ "group-" (number + 1) } {
            (number + 1) ". " (finding) ": " (counted(group.sites.len() as u64, "site"))
        }
        p {
            "To act: " (group.acts.words()) ". " (details(overview, group).join(", "))
            ". " button type="button" data-filter=(finding) { "show them in the table" }
        }
        @if let Some(site) = example {
            p { (plain(fleet.text(site.says))) }
            @if let Some(evidence) = fleet.evidence(site) {
                p.faint { (plain(fleet.text(site.name))) ", line " (evidence.line) ": " code { (plain(&evidence.text)) } " " (plain(&evidence.says)) }
            }
        }
        @for shared in &overview.shared[number] { p { b { "In common: " } (plain(&shared.sentence(fleet))) "." } }
    }
}

fn apart(title: &str, places: &[usize], overview: &Overview<'_>) -> Markup {
    let sites = places.iter().map(|place| overview.fleet.text(overview.fleet.sites[*place].name));
    html! { @if !places.is_empty() { h2 { (title) " (" (places.len()) ")" } p { (names(sites, places.len())) } } }
}

fn names<'n>(all: impl Iterator<Item = &'n str>, count: usize) -> String {
    let shown: Vec<_> = all.take(NAMED).map(|name| plain(name).into_owned()).collect();
    let more = count.saturating_sub(NAMED);
    shown.join(", ") + &if more > 0 { format!(" and {more} more") } else { String::new() }
}

/// The sites with a position: those that fail first, so that they are drawn on top.
fn dots(overview: &Overview<'_>) -> Vec<Dot> {
    let class = |site: &Site| CLASSES.iter().position(|c| *c == site.state.word()).unwrap_or(0);
    let mut sites: Vec<&Site> =
        overview.fleet.sites.iter().filter(|s| s.position.is_some()).collect();
    let rank = |site: &Site| match site.state {
        State::Failing { .. } => 0,
        State::Unreachable => 1,
        State::Unclear => 2,
        State::Unusable => 3,
        State::Connected => 4,
    };
    let level = |site: &Site| site.rsrp_dbm.unwrap_or(0.0);
    sites.sort_by(|a, b| rank(a).cmp(&rank(b)).then(level(a).total_cmp(&level(b))));
    let dot = |site: &&Site| {
        let (latitude, longitude) = site.position?;
        let finding = verdict(overview.fleet, site)[0];
        let label =
            site.rsrp_dbm.map_or_else(|| finding.into(), |l| format!("{finding} {l:.0} dBm"));
        Some(Dot {
            name: overview.fleet.text(site.name).to_owned(),
            latitude,
            longitude,
            class: class(site),
            label,
        })
    };
    sites.iter().filter_map(dot).collect()
}

/// The data of the table: words stand once, cells give their places.
#[derive(Debug, Default, Serialize)]
struct Table {
    columns: Vec<Column>,
    words: Vec<String>,
    rows: Vec<Vec<Option<f64>>>,
    #[serde(skip)]
    known: HashMap<String, usize>,
}

#[derive(Debug, Serialize)]
struct Column {
    name: String,
    /// Whether its cells are places of words, or numbers.
    words: bool,
}

impl Table {
    fn word(&mut self, text: &str) -> f64 {
        let text = plain(text);
        let next = self.words.len();
        let place = *self.known.entry(text.to_string()).or_insert(next);
        if place == next {
            self.words.push(text.into_owned());
        }
        place as f64
    }
}

fn table(overview: &Overview<'_>) -> Table {
    let fleet = overview.fleet;
    let attributes = fleet.attribute_names();
    let mut table = Table::default();
    let mut column = |name: &str, words| table.columns.push(Column { name: name.into(), words });
    for name in ["site", "at", "state", "finding", "certainty", "acts", "what it says"] {
        column(name, true);
    }
    if overview.since {
        column("change", true);
    }
    column("RSRP, dBm", false);
    for name in &attributes {
        let name = fleet.text(*name);
        column(&name.strip_prefix("tag:").unwrap_or(name).replace('-', " "), true);
    }
    let mut order: Vec<usize> =
        overview.groups.iter().flat_map(|g| g.sites.iter().copied()).collect();
    order.extend(
        (0..fleet.sites.len()).filter(|p| !matches!(fleet.sites[*p].state, State::Failing { .. })),
    );
    for place in order {
        let site = &fleet.sites[place];
        let at =
            site.at.map_or_else(String::new, |at| at.to_rfc3339_opts(SecondsFormat::Secs, true));
        let [finding, certainty, acts] = verdict(fleet, site);
        let change = overview.changes[place];
        let change = if change == Change::Same { "" } else { change.word() };
        let texts = [
            fleet.text(site.name),
            at.as_str(),
            site.state.word(),
            finding,
            certainty,
            acts,
            fleet.text(site.says),
        ];
        let mut row: Vec<Option<f64>> =
            texts.into_iter().map(|text| Some(table.word(text))).collect();
        if overview.since {
            row.push(Some(table.word(change)));
        }
        row.push(site.rsrp_dbm.map(f64::from));
        for name in &attributes {
            let word = site.attribute(*name).map_or("", |word| fleet.text(word));
            row.push(Some(table.word(word)));
        }
        table.rows.push(row);
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::triage::fleet::Fleet;
    use crate::triage::row::Row;
    use chrono::TimeDelta;

    #[test]
    fn a_page_reaches_for_nothing_and_no_name_ends_its_script() {
        let mut fleet = Fleet::default();
        for (n, finding) in ["connected", "radio/weak", "unclear"].into_iter().enumerate() {
            fleet.add(Row {
                site: format!("</script><script>alert({n})</script>\u{1b}").into(),
                finding: Some(finding.into()),
                summary: Some("weak & <b>poor</b>".into()),
                latitude: Some(-48.2 + n as f64),
                longitude: Some(-12.4),
                ..Row::default()
            });
        }
        let page = page(&Overview::of(&fleet, None, TimeDelta::hours(48)));
        assert_eq!(page.matches("</script>").count(), 2, "the data and the script");
        assert!(!page.contains('\u{1b}') && !page.contains("https://"));
        assert!(page.contains("script-src 'sha256-"));
        assert!(page.contains("\\u003c/script>"));
        let shapes = ["connected", "failing", "unclear"].map(|word| page.contains(word));
        assert_eq!(shapes, [true; 3]);
    }
}
