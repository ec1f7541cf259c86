//! The report as one page.

use super::figures::{self, ASSUMED, Figures, lasted, share};
use super::gather::{Day, Site};
use crate::plot::{self, Happening};
use crate::sanitize::plain;
use crate::watch::event::{Kind, span};
use maud::{Markup, html};

/// So many outages are listed.
const LISTED: usize = 200;

/// One page with every site.
pub fn page(sites: &[Site]) -> String {
    let title = match sites {
        [only] => format!("Watch of {}", plain(&only.name)),
        several => format!("Watch of {} sites", several.len()),
    };
    let body = html! {
        h1 { (title) }
        @if sites.len() > 1 { (overview(sites)) }
        @for site in sites { (one(site, sites.len() > 1)) }
        p class="faint" { (ASSUMED) }
    };
    plot::page(&title, &body)
}

fn overview(sites: &[Site]) -> Markup {
    let mut rows: Vec<(&Site, Figures<'_>)> =
        sites.iter().map(|site| (site, Figures::of(site))).collect();
    let well = |f: &Figures<'_>| f.all.available_percent().unwrap_or(-1.0);
    rows.sort_by(|a, b| well(&a.1).total_cmp(&well(&b.1)));
    html! {
        div class="wide" { table {
            thead { tr { th { "site, the worst first" } th class="n" { "available" } th class="n" { "out" } th class="n" { "not known" } th class="n" { "outages" } th { "most time by" } } }
            tbody { @for (site, f) in &rows { tr {
                td class="one" { (plain(&site.name)) } td class="n" { (share(&f.all)) } td class="n" { (span(f.all.out_s)) }
                td class="n" { (span(f.all.unknown_s)) } td class="n" { (f.all.outages) }
                td { @if let Some((cause, _)) = f.causes.first() { (plain(cause)) } }
            } } }
        } }
    }
}

fn one(site: &Site, named: bool) -> Markup {
    let figures = Figures::of(site);
    let time = site.time.map_or_else(String::new, |(from, to)| {
        format!("{} to {} UTC", from.format("%Y-%m-%d %H:%M"), to.format("%Y-%m-%d %H:%M"))
    });
    let count = |kind| site.events.get(&kind).copied().unwrap_or(0).to_string();
    let rows = [
        ("watched", format!("{time}, a reading every {}", span(site.every_s))),
        (
            "available",
            format!(
                "{} of the known time; out {} in {}, not known {}",
                share(&figures.all),
                span(figures.all.out_s),
                figures::outages(figures.all.outages),
                span(figures.all.unknown_s)
            ),
        ),
        ("mean time between outages", figures.between_words()),
        ("mean time to repair", figures.repair_words()),
        ("level", figures.before_words()),
        ("restarts", count(Kind::Restarted)),
        ("changes of cell", count(Kind::CellChanged)),
        ("times a low level", count(Kind::LevelLow)),
        (
            "lines that could not be read",
            if site.damaged > 0 { site.damaged.to_string() } else { String::new() },
        ),
    ];
    html! {
        @if named { h2 { (plain(&site.name)) } }
        table { @for (name, words) in &rows { @if !words.is_empty() { tr { th { (name) } td { (words) } } } } }
        (over_time(site))
        (causes(&figures))
        (days(site))
        (outages(&figures))
    }
}

fn over_time(site: &Site) -> Markup {
    const KINDS: [&str; 1] = ["outage"];
    let Some((from, _)) = site.time else { return html! {} };
    let happenings: Vec<Happening> = site
        .outages
        .iter()
        .map(|o| Happening { at: (o.began - from).as_seconds_f64(), kind: 0 })
        .collect();
    html! {
        h2 { "Level and outages" }
        div class="wide" { (plot::over_time(&site.trace.curve(), from, "dBm", &happenings, &KINDS)) }
    }
}

fn causes(figures: &Figures<'_>) -> Markup {
    html! { @if !figures.causes.is_empty() {
        h2 { "By cause" }
        div class="wide" { table {
            thead { tr { th { "cause" } th class="n" { "outages" } th class="n" { "time" } th { "" } } }
            tbody { @for (name, cause) in &figures.causes { tr {
                td class="one" { (plain(name)) } td class="n" { (cause.outages) } td class="n" { (span(cause.seconds)) } td { (plain(cause.summary)) }
            } } }
        } }
    } }
}

fn days(site: &Site) -> Markup {
    let row = |time: &Day| {
        html! { td class="n" { (share(time)) } td class="n" { (span(time.out_s)) } td class="n" { (span(time.unknown_s)) } td class="n" { (time.outages) } }
    };
    html! {
        h2 { "By day" }
        div class="wide" { table {
            thead { tr { th { "day, UTC" } th class="n" { "available" } th class="n" { "out" } th class="n" { "not known" } th class="n" { "outages" } } }
            tbody { @for (day, time) in &site.days { tr { td class="one" { (day) } (row(time)) } } }
        } }
    }
}

fn outages(figures: &Figures<'_>) -> Markup {
    html! { @if !figures.longest.is_empty() {
        h2 { "Outages, the longest first" }
        div class="wide" { table {
            thead { tr { th { "began, UTC" } th { "lasted" } th { "cause" } th class="n" { "level before, dBm" } th { "dialogue" } } }
            tbody { @for outage in figures.longest.iter().take(LISTED) { tr {
                td class="one" { (outage.began.format("%Y-%m-%d %H:%M:%S")) } td { (lasted(outage)) }
                td { (plain(&outage.counts_as())) }
                td class="n" { (outage.level_before_dbm.map_or_else(|| "-".to_owned(), |l| format!("{l:.0}"))) }
                td { (plain(&outage.capture)) }
            } } }
        } }
        @if figures.longest.len() > LISTED { p { (figures.longest.len()) " in all; the longest " (LISTED) " are shown." } }
    } }
}
