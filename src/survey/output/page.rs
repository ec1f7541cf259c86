//! The survey as one page with plots and the figures beside them.

use crate::plot::{self, Dot, Happening, Look, Row};
use crate::sanitize::plain;
use crate::survey::analysis::{Analysis, EventKind};
use maud::{Markup, PreEscaped, html};

/// The classes of the map's legend, the strongest first, with their lower bounds in dBm; ranges of
/// judgement, common practice, no source.
const CLASSES: [(&str, f64); 4] = [
    ("above -95 dBm", -95.0),
    ("-95 to -105 dBm", -105.0),
    ("-105 to -115 dBm", -115.0),
    ("below -115 dBm", f64::MIN),
];

/// The page; self-contained, without scripts.
pub fn page(analysis: &Analysis) -> String {
    let title = if analysis.head.title.is_empty() { "Signal survey" } else { &analysis.head.title };
    let body = html! {
        h1 { (plain(title)) }
        p {
            (analysis.samples) " samples at " (analysis.spots.len()) " spots"
            @if let Some((from, to)) = analysis.time { ", " (from.format("%Y-%m-%d %H:%M")) " to " (to.format("%H:%M")) " UTC" }
            @if !analysis.head.antenna.is_empty() { ", antenna: " (plain(&analysis.head.antenna)) }
            @if analysis.head.rehearsal { " (simulated)" }
            "."
        }
        h2 { "Spots" }
        (figures(analysis))
        (PreEscaped(plot::rows(&rows(analysis), "dBm")))
        @let dots = dots(analysis);
        @if !dots.is_empty() {
            h2 { "Map" }
            (PreEscaped(plot::map(&dots, &CLASSES.map(|c| c.0))))
        }
        h2 { "Over time" }
        @if let Some((from, _)) = analysis.time {
            (PreEscaped(plot::over_time(&analysis.trace.curve(), from, "dBm", &happenings(analysis), &KINDS.map(EventKind::words))))
        }
        @let looks = looks(analysis);
        @if looks.len() > 2 {
            h2 { "By heading" }
            (PreEscaped(plot::polar(&looks, None, &["strongest cell".to_owned()])))
        }
        h2 { "Events" }
        @if analysis.events.is_empty() { p { "None." } } @else {
            table {
                tr { th { "time" } th { "spot" } th { "event" } th { "" } }
                @for event in analysis.events.iter().take(60) {
                    tr { td { (event.at.format("%H:%M:%S")) } td { (plain(&event.spot)) } td { (event.kind.words()) } td { (plain(&event.text)) } }
                }
            }
        }
        p { "Medians and percentiles are of the dB values, with 95 % bounds from the long-run variance of correlated samples; the linear average is of milliwatts." }
    };
    plot::page(title, &body)
}

const KINDS: [EventKind; 5] =
    [EventKind::CellChange, EventKind::Lost, EventKind::Back, EventKind::NoAnswer, EventKind::Note];

fn figures(analysis: &Analysis) -> Markup {
    html! {
        div class="wide" {
            table {
                tr { th { "spot" } th { "cell" } th { "samples" } th { "independent" } th { "median dBm" } th { "95 % bounds" } th { "p10" } th { "linear average" } th { "limited by" } }
                @for spot in &analysis.spots {
                    @for cell in &spot.cells {
                        @if let Some(l) = cell.level() {
                            tr {
                                td { (plain(&spot.name)) }
                                td { (cell.cell.to_string()) }
                                td { (l.count) }
                                td { @if let Some(n) = l.effective { (n.to_string()) } @else { "too few" } }
                                td { (format!("{:.1}", l.median)) }
                                td { @if let Some(i) = l.median_interval { (format!("{:.1} to {:.1}", i.low, i.high)) } @else { "too few" } }
                                td { (format!("{:.1}", l.p10)) }
                                td { (format!("{:.1}", l.linear_average)) }
                                td { (cell.limit().words()) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn rows(analysis: &Analysis) -> Vec<Row> {
    let one = |spot: &crate::survey::spot::Spot| {
        let l = spot.main()?.level()?;
        Some(Row {
            name: if spot.name.is_empty() {
                "(between)".into()
            } else {
                plain(&spot.name).into_owned()
            },
            range: (l.lowest, l.highest),
            middle: (l.p10, l.p90),
            median: l.median,
            bounds: l.median_interval.map(|i| (i.low, i.high)),
        })
    };
    analysis.spots.iter().filter_map(one).take(40).collect()
}

fn dots(analysis: &Analysis) -> Vec<Dot> {
    let one = |spot: &crate::survey::spot::Spot| {
        let place = spot.position()?;
        let median = spot.main()?.level()?.median;
        let class = CLASSES.iter().position(|(_, low)| median >= *low).unwrap_or(CLASSES.len() - 1);
        Some(Dot {
            name: plain(&spot.name).into_owned(),
            latitude: place.latitude,
            longitude: place.longitude,
            class,
            label: format!("{median:.0} dBm"),
        })
    };
    analysis.spots.iter().filter(|s| !s.name.is_empty()).filter_map(one).collect()
}

fn happenings(analysis: &Analysis) -> Vec<Happening> {
    let Some((from, _)) = analysis.time else { return Vec::new() };
    analysis
        .events
        .iter()
        .filter_map(|e| {
            let kind = KINDS.iter().position(|k| *k == e.kind)?;
            Some(Happening { at: (e.at - from).num_milliseconds() as f64 / 1000.0, kind })
        })
        .collect()
}

fn looks(analysis: &Analysis) -> Vec<Look> {
    analysis
        .turns
        .iter()
        .filter(|(_, series)| series.count() > 0)
        .map(|((_, cell, tenths), series)| Look {
            heading_deg: f64::from(*tenths) / 10.0,
            level: series.distribution().quantile(0.5),
            cell: usize::from(*cell > 0),
        })
        .filter(|l| l.cell == 0)
        .collect()
}
