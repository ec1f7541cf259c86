//! The acceptance report: a self-contained page that prints on two sides, and Markdown.

use super::judge::{Measured, Outcome};
use super::record::Record;
use crate::caution;
use crate::plot;
use crate::sanitize::{markdown as cell, plain};
use crate::survey::analysis::Analysis;
use crate::survey::output::SIMULATED;
use maud::html;
use std::fmt::Write;

fn described(record: &Record) -> Vec<(&'static str, String)> {
    let s = &record.site;
    [
        ("site", &s.name),
        ("visit", &record.visit),
        ("antenna", &s.antenna),
        ("height", &s.height),
        ("azimuth", &s.azimuth),
        ("cable", &s.cable),
        ("installer", &s.installer),
    ]
    .into_iter()
    .filter(|(_, text)| !text.is_empty())
    .map(|(name, text)| (name, plain(text).into_owned()))
    .chain(
        (!s.photographs.is_empty())
            .then(|| ("photographs", plain(&s.photographs.join(", ")).into_owned())),
    )
    .collect()
}

/// The page.
pub fn html(record: &Record, analysis: &Analysis) -> String {
    let title = format!(
        "Acceptance of {}: {}",
        if record.site.name.is_empty() { "a site" } else { &record.site.name },
        record.outcome.word()
    );
    let body = html! {
        h1 { (plain(&title)) }
        @if record.simulated { p class="simulated" { (SIMULATED) } }
        p { "Made " (plain(&record.made)) ". Criteria: " (plain(&record.criteria.title)) "." }
        table { @for (name, text) in described(record) { tr { th { (name) } td { (text) } } } }
        h2 { "Criteria" }
        table {
            thead { tr { th { "spot" } th { "criterion" } th { "wanted" } th { "measured" } th { "outcome" } } }
            @for r in failed_first(record) {
                tr { td class="one" { (plain(&r.spot)) } td { (plain(&r.criterion)) } td { (plain(&r.wanted)) } td { (plain(&r.measured)) } td { b { (r.outcome.word()) } } }
            }
        }
        @let rows = rows(record, analysis);
        @if !rows.is_empty() {
            h2 { "Levels of the judged spots" }
            p { "All that the modem used while it was registered, whatever the cell: what the criteria were held against." }
            @if rows.len() > 30 { (plot::ranked(&rows, "dBm")) } @else { (plot::rows(&rows, "dBm")) }
        }
        @if let Some((from, _)) = analysis.time {
            h2 { "Level over time" }
            (plot::over_time(&analysis.trace.curve(), from, "dBm", &[], &[]))
            p { "Line: mean of the dB values of each moment. Band: from the lowest to the highest." }
        }
        h2 { "Modem and evidence" }
        table {
            @for (name, text) in &record.identities { tr { th { (name) } td { (plain(text)) } } }
            @for (name, hash) in &record.evidence_sha256 { tr { th { "SHA-256 of " (plain(name)) } td { (hash) } } }
        }
        div class="caution" { b { "Cautions" } ul { @for c in caution::SITE { li { (c) } } } }
        div class="sign" { div { "Installer, date" } div { "Accepted by, date" } }
    };
    plot::page(&title, &body)
}

/// The results, those that failed first.
fn failed_first(record: &Record) -> Vec<&Measured> {
    let mut results: Vec<_> = record.results.iter().collect();
    results.sort_by_key(|r| match r.outcome {
        Outcome::Failed => 0,
        Outcome::Incomplete => 1,
        Outcome::Passed => 2,
    });
    results
}

/// The judged spots, the weakest first.
fn rows(record: &Record, analysis: &Analysis) -> Vec<plot::Row> {
    let one = |(name, spot): (&str, Option<&crate::survey::spot::Spot>)| {
        let l = spot?.used.level()?;
        Some(plot::Row {
            name: plain(if name.is_empty() { "all samples" } else { name }).into_owned(),
            range: (l.lowest, l.highest),
            middle: (l.p10, l.p90),
            median: l.median,
            bounds: l.median_interval.map(|i| (i.low, i.high)),
        })
    };
    let mut rows: Vec<_> =
        super::spots::judged(&record.criteria, analysis).into_iter().filter_map(one).collect();
    rows.sort_by(|a, b| a.median.total_cmp(&b.median));
    rows
}

/// The same as Markdown.
pub fn markdown(record: &Record) -> String {
    let mut out = format!(
        "# Acceptance of {}: {}\n\nMade {}. Criteria: {}.\n\n",
        cell(&record.site.name),
        record.outcome.word(),
        cell(&record.made),
        cell(&record.criteria.title)
    );
    if record.simulated {
        out.push_str(&format!("**{SIMULATED}**\n\n"));
    }
    // Writing to a string cannot fail.
    for (name, text) in described(record) {
        let _ = writeln!(out, "- {name}: {}", cell(&text));
    }
    out.push_str(
        "\n| spot | criterion | wanted | measured | outcome |\n| --- | --- | --- | --- | --- |\n",
    );
    for r in failed_first(record) {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} |",
            cell(&r.spot),
            cell(&r.criterion),
            cell(&r.wanted),
            cell(&r.measured),
            r.outcome.word()
        );
    }
    out.push('\n');
    for (name, text) in &record.identities {
        let _ = writeln!(out, "- {name}: {}", cell(text));
    }
    for (name, hash) in &record.evidence_sha256 {
        let _ = writeln!(out, "- SHA-256 of {}: `{hash}`", cell(name));
    }
    out.push_str("\nCautions:\n\n");
    for caution in caution::SITE {
        let _ = writeln!(out, "- {caution}");
    }
    out.push_str(
        "\nInstaller, date: ____________________    Accepted by, date: ____________________\n",
    );
    out
}
