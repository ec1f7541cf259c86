//! The report as text.

use super::figures::{ASSUMED, Figures, lasted, outages, share};
use super::gather::Site;
use crate::sanitize::plain;
use crate::watch::event::{Kind, span};
use std::fmt::Write;

/// So many outages are listed.
const LISTED: usize = 20;
/// So many days are listed, the last ones.
const DAYS: usize = 31;

/// The report of every site.
pub fn text(sites: &[Site]) -> String {
    let mut out = String::new();
    for site in sites {
        // A string takes everything.
        let _ = one(site, &mut out);
    }
    let _ = writeln!(out, "{ASSUMED}");
    out
}

fn one(site: &Site, out: &mut String) -> std::fmt::Result {
    let figures = Figures::of(site);
    let time = site.time.map_or_else(
        || "no line with a time".to_owned(),
        |(from, to)| {
            format!("{} to {} UTC", from.format("%Y-%m-%d %H:%M"), to.format("%Y-%m-%d %H:%M"))
        },
    );
    writeln!(out, "{}: {time}, a reading every {}", plain(&site.name), span(site.every_s))?;
    let all = &figures.all;
    writeln!(
        out,
        "available             {} of the known time; out {} in {}, not known {}",
        share(all),
        span(all.out_s),
        outages(all.outages),
        span(all.unknown_s)
    )?;
    writeln!(out, "time between outages  {}", figures.between_words())?;
    for (name, words) in
        [("time to repair", figures.repair_words()), ("level", figures.before_words())]
    {
        if !words.is_empty() {
            writeln!(out, "{name:22}{words}")?;
        }
    }
    let count = |kind| site.events.get(&kind).copied().unwrap_or(0);
    writeln!(
        out,
        "also                  {} restarts, {} changes of cell, {} times a low level, {} readings",
        count(Kind::Restarted),
        count(Kind::CellChanged),
        count(Kind::LevelLow),
        site.samples
    )?;
    if site.damaged > 0 {
        writeln!(out, "left out              {} lines that could not be read", site.damaged)?;
    }
    writeln!(out, "\nday, UTC    available  out        not known  outages")?;
    let skipped = site.days.len().saturating_sub(DAYS);
    if skipped > 0 {
        writeln!(out, "({skipped} earlier days are left out here; the page has them)")?;
    }
    for (day, time) in site.days.iter().skip(skipped) {
        writeln!(
            out,
            "{day}  {:>9}  {:<9}  {:<9}  {}",
            share(time),
            span(time.out_s),
            span(time.unknown_s),
            time.outages
        )?;
    }
    if figures.causes.is_empty() {
        return writeln!(out);
    }
    writeln!(out, "\ncause, the most time first")?;
    for (name, cause) in &figures.causes {
        writeln!(out, "{:>4}  {:<11}  {}", cause.outages, span(cause.seconds), plain(name))?;
        if !cause.summary.is_empty() {
            writeln!(out, "                   {}", plain(cause.summary))?;
        }
    }
    writeln!(out, "\noutages, the longest first")?;
    for outage in figures.longest.iter().take(LISTED) {
        let began = outage.began.format("%Y-%m-%d %H:%M:%S");
        writeln!(out, "{began}  {}  {}", lasted(outage), plain(&outage.counts_as()))?;
        if !outage.capture.is_empty() {
            writeln!(out, "                     mastside explain {}", plain(&outage.capture))?;
        }
    }
    if figures.longest.len() > LISTED {
        writeln!(out, "and {} more", figures.longest.len() - LISTED)?;
    }
    writeln!(out)
}
