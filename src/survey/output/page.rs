//! Surveys as one page: figures with the worst spot first, plots beside them, no scripts and no network.

use super::figures::{Figures, REGISTERED_PERCENT, WEAK_DBM, median};
use super::{NO_INDICES, SIMULATED, trends};
use crate::plot::{self, Dot, Happening, HeadingLevel, Row};
use crate::sanitize::plain;
use crate::survey::analysis::{Analysis, EventKind};
use crate::survey::visits::Visit;
use chrono::NaiveDate;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The classes of the map's legend, the strongest first, with their lower bounds in dBm; ranges of
/// judgement, common practice, no source.
const CLASSES: [(&str, f64); 5] = [
    ("above -95 dBm", -95.0),
    ("-95 to -105 dBm", -105.0),
    ("-105 to -115 dBm", -115.0),
    ("below -115 dBm", f64::MIN),
    ("not always registered", f64::NAN),
];

/// With more spots than these, one picture shows them in order instead of one row each.
const MOST_ROWS: usize = 30;

/// A spot of the latest visit of its site, with the name that tells it apart.
struct Shown<'a> {
    name: String,
    figures: Figures<'a>,
}

/// The page; self-contained, without scripts. `today` is what ages are counted from.
pub fn page(visits: &[Visit], today: NaiveDate) -> String {
    let latest = latest(visits);
    let single = if let [only] = visits { Some(&only.analysis) } else { None };
    let title = match (single, latest.as_slice()) {
        (Some(analysis), _) if !analysis.head.title.is_empty() => analysis.head.title.clone(),
        (_, [only]) => format!("Signal survey of {}", only.site),
        _ => format!("Signal surveys of {} sites", latest.len()),
    };
    let mut spots: Vec<Shown<'_>> = Vec::new();
    for visit in &latest {
        for figures in Figures::worst_first(&visit.analysis) {
            let name = plain(figures.spot.shown_name()).into_owned();
            let name =
                if latest.len() > 1 { format!("{}: {name}", plain(&visit.site)) } else { name };
            spots.push(Shown { name, figures });
        }
    }
    spots.sort_by(|a, b| a.figures.order(&b.figures));
    let samples: u64 = latest.iter().map(|v| v.analysis.samples).sum();
    let body = html! {
        h1 { (plain(&title)) }
        @if latest.iter().any(|v| v.analysis.head.rehearsal) { p class="simulated" { (SIMULATED) } }
        p { (samples) " samples at " (spots.len()) " spots" @if visits.len() > latest.len() { ", the latest of " (visits.len()) " visits" } "." }
        @if let [only] = latest.as_slice() { (about(only)) }
        @if latest.iter().any(|v| v.analysis.may_be_half_a_step_low()) { p class="faint" { (NO_INDICES) } }
        (problems(&latest))
        h2 { "Spots, the worst first" }
        (table(&spots))
        @let rows = rows(&spots);
        div class="wide" { @if rows.len() > MOST_ROWS { (plot::ranked(&rows, "dBm")) } @else { (plot::rows(&rows, "dBm")) } }
        @let dots = dots(&spots);
        @if !dots.is_empty() {
            h2 { "Map" }
            div class="wide" { (plot::map(&dots, &CLASSES.map(|c| c.0))) }
        }
        (over_visits(visits, today))
        @if let Some(analysis) = single { (in_time(analysis)) }
        p class="faint" { "Medians and percentiles are of the dB values of all that the modem used while it was registered, with 95 % bounds from the long-run variance of correlated samples. ~ stands before numbers of independent samples, which are known to about a factor of two. The linear average is of milliwatts." }
    };
    plot::page(&title, &body)
}

/// The latest visit of each site.
fn latest(visits: &[Visit]) -> Vec<&Visit> {
    let mut by_site = BTreeMap::<&str, &Visit>::new();
    for visit in visits {
        let slot = by_site.entry(&visit.site).or_insert(visit);
        if visit.begins() >= slot.begins() {
            *slot = visit;
        }
    }
    by_site.into_values().collect()
}

fn about(visit: &Visit) -> Markup {
    let head = &visit.analysis.head;
    let time = visit.analysis.time.map_or_else(String::new, |(from, to)| {
        format!("{} to {} UTC", from.format("%Y-%m-%d %H:%M"), to.format("%Y-%m-%d %H:%M"))
    });
    html! {
        table {
            @for (name, text) in [("site", &visit.site), ("measured", &time), ("by", &head.visit.who), ("why", &head.visit.why), ("carrier", &head.site.carrier), ("device", &head.site.device), ("antenna", &head.antenna)] {
                @if !text.is_empty() { tr { th { (name) } td { (plain(text)) } } }
            }
        }
    }
}

fn problems(visits: &[&Visit]) -> Markup {
    html! {
        @for visit in visits {
            @let problems = &visit.analysis.problems;
            @if problems.count > 0 {
                div class="caution" {
                    b { (problems.count) " lines of " (plain(&visit.path.display().to_string())) " are left out" }
                    ul { @for problem in problems.first.iter().take(5) { li { (plain(&problem.to_string())) } } }
                }
            }
        }
    }
}

const KINDS: [EventKind; 5] =
    [EventKind::CellChange, EventKind::Lost, EventKind::Back, EventKind::NoAnswer, EventKind::Note];

fn table(spots: &[Shown<'_>]) -> Markup {
    html! {
        div class="filter" {
            input type="radio" name="filter" id="all" checked; label for="all" { "all spots" }
            input type="radio" name="filter" id="lost"; label for="lost" { (format!("registered less than {REGISTERED_PERCENT} %")) }
            input type="radio" name="filter" id="weak"; label for="weak" { (format!("below {WEAK_DBM} dBm")) }
            input type="radio" name="filter" id="short"; label for="short" { "measured too shortly" }
            div class="wide" {
                table {
                    thead { tr {
                        th { "spot" } th class="n" { "registered" } th class="n" { "median dBm" } th class="n" { "95 % bounds" } th class="n" { "p10" } th class="n" { "average" } th class="n" { "SINR dB" } th class="n" { "samples" } th class="n" { "indep." } th { "cells" } th { "limited by" }
                    } }
                    tbody { @for shown in spots { (row(shown)) } }
                }
            }
        }
    }
}

fn row(shown: &Shown<'_>) -> Markup {
    let f = &shown.figures;
    let class = format!(
        "{} {} {}",
        if f.is_weak() { "weak" } else { "fine" },
        if f.is_lost() { "gone" } else { "kept" },
        if f.is_short() { "brief" } else { "long" }
    );
    let level = f.level.as_ref();
    let tenth = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |v| format!("{v:.1}"));
    html! {
        tr class=(class) {
            td class="one" { (shown.name) }
            td class="n" { @if f.is_lost() { b { (f.share_words()) } } @else { (f.share_words()) } }
            td class="n" { (tenth(level.map(|l| l.median))) }
            td class="n" { (f.bounds_words()) }
            td class="n" { (tenth(level.map(|l| l.p10))) }
            td class="n" { (tenth(level.map(|l| l.linear_average))) }
            td class="n" { (tenth(median(&f.spot.used.sinr))) }
            td class="n" { (f.spot.samples) }
            td class="n" { (f.effective_words()) }
            td class="one" { @for (i, cell) in f.spot.cells.iter().enumerate() { @if i > 0 { br; } (plain(&cell.cell.to_string())) @if f.spot.cells.len() > 1 { ": " (cell.samples) } } }
            td class="one" { (f.spot.main().map_or("never registered", |c| c.limit().words().split(':').next().unwrap_or(""))) }
        }
    }
}

fn rows(spots: &[Shown<'_>]) -> Vec<Row> {
    let one = |shown: &Shown<'_>| {
        let l = shown.figures.level.as_ref()?;
        let lost = if shown.figures.is_lost() {
            format!("({}) ", shown.figures.share_words())
        } else {
            String::new()
        };
        Some(Row {
            name: format!("{lost}{}", shown.name),
            range: (l.lowest, l.highest),
            middle: (l.p10, l.p90),
            median: l.median,
            bounds: l.median_interval.map(|i| (i.low, i.high)),
        })
    };
    let mut rows: Vec<Row> = spots.iter().filter_map(one).collect();
    rows.sort_by(|a, b| a.median.total_cmp(&b.median));
    rows
}

fn dots(spots: &[Shown<'_>]) -> Vec<Dot> {
    let one = |shown: &Shown<'_>| {
        let place = shown.figures.spot.position()?;
        let median = shown.figures.level.as_ref().map(|l| l.median);
        let by_level = |m: f64| CLASSES.iter().position(|(_, low)| m >= *low).unwrap_or(3);
        let class = if shown.figures.is_lost() { 4 } else { median.map_or(3, by_level) };
        let level = median.map_or_else(|| "no level".into(), |m| format!("{m:.0} dBm"));
        let label = if shown.figures.is_lost() {
            format!("{}, {level}", shown.figures.share_words())
        } else {
            level
        };
        Some(Dot {
            name: shown.name.clone(),
            latitude: place.latitude,
            longitude: place.longitude,
            class,
            label,
        })
    };
    spots.iter().filter(|s| !s.figures.spot.name.is_empty()).filter_map(one).collect()
}

/// The spots over the visits of their sites.
fn over_visits(visits: &[Visit], today: NaiveDate) -> Markup {
    let trends = trends(visits, today);
    let shown: Vec<_> = trends.iter().filter(|t| t.points.len() > 1 || t.is_stale()).collect();
    html! {
        @if !shown.is_empty() {
            h2 { "Over the visits" }
            div class="wide" { table {
                thead { tr { th { "site" } th { "spot" } th class="n" { "visits" } th { "first" } th { "last" } th class="n" { "medians dBm" } th class="n" { "last against before, dB" } th class="n" { "days ago" } } }
                tbody { @for trend in shown {
                    tr {
                        td class="one" { (plain(&trend.site)) } td class="one" { (plain(&trend.spot)) } td class="n" { (trend.points.len()) }
                        td class="one" { @if let Some(p) = trend.points.first() { (p.date) } } td class="one" { @if let Some(p) = trend.points.last() { (p.date) } }
                        td class="n" { @for (i, p) in trend.points.iter().rev().take(6).rev().enumerate() { @if i > 0 { ", " } (p.median_dbm.map_or_else(|| "none".to_owned(), |m| format!("{m:.0}"))) } }
                        td class="n" { (trend.change_db().map_or_else(String::new, |c| format!("{c:+.1}"))) }
                        td class="n" { (trend.days_since) @if trend.is_stale() { " (stale)" } }
                    }
                } }
            } }
        }
    }
}

fn in_time(analysis: &Analysis) -> Markup {
    let happenings = happenings(analysis);
    let levels = heading_levels(analysis);
    html! {
        h2 { "Over time" }
        @if let Some((from, _)) = analysis.time {
            div class="wide" { (plot::over_time(&analysis.trace.curve(), from, "dBm", &happenings, &KINDS.map(EventKind::words))) }
        }
        @if levels.len() > 2 {
            h2 { "By heading" }
            div class="wide" { (plot::polar(&levels, None, &["strongest cell".to_owned()])) }
        }
        h2 { "Events" }
        @if analysis.events.is_empty() { p { "None." } } @else {
            div class="wide" { table {
                thead { tr { th { "time, UTC" } th { "spot" } th { "event" } th { "" } } }
                tbody { @for event in analysis.events.iter().take(60) {
                    tr { td class="one" { (event.at.format("%Y-%m-%d %H:%M:%S")) } td { (plain(&event.spot)) } td class="one" { (event.kind.words()) } td { (plain(&event.text)) } }
                } }
            } }
            @if analysis.event_count > 60 { p { (analysis.event_count) " in all; the first 60 are shown." } }
        }
    }
}

fn happenings(analysis: &Analysis) -> Vec<Happening> {
    let Some((from, _)) = analysis.time else { return Vec::new() };
    analysis
        .events
        .iter()
        .filter_map(|e| {
            let kind = KINDS.iter().position(|k| *k == e.kind)?;
            Some(Happening { at: (e.at - from).as_seconds_f64(), kind })
        })
        .collect()
}

fn heading_levels(analysis: &Analysis) -> Vec<HeadingLevel> {
    analysis
        .turns
        .iter()
        .filter(|((_, cell, _), series)| *cell == 0 && series.count() > 0)
        .map(|((_, _, tenths), series)| HeadingLevel {
            heading_deg: f64::from(*tenths) / 10.0,
            level_dbm: series.distribution().quantile(0.5),
            cell: 0,
        })
        .collect()
}
