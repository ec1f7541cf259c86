//! The acceptance report: a self-contained page that prints on two sides, and Markdown.

use super::record::Record;
use crate::plot::{self, clean};
use crate::survey::analysis::Analysis;
use maud::{PreEscaped, html};
use std::fmt::Write;

const CAUTIONS: [&str; 3] = [
    "Work at height and near radiating antennas is for trained people: switch the transmitter off first and keep the distances that local codes ask for.",
    "Power feeds and injectors: supply off, by local codes and, where they ask for it, by a licensed electrician.",
    "No work on masts or antenna lines with lightning about; lightning protection is for licensed practice.",
];

fn described(record: &Record) -> Vec<(&'static str, String)> {
    let s = &record.site;
    [
        ("site", &s.name),
        ("antenna", &s.antenna),
        ("height", &s.height),
        ("azimuth", &s.azimuth),
        ("cable", &s.cable),
        ("installer", &s.installer),
    ]
    .into_iter()
    .filter(|(_, text)| !text.is_empty())
    .map(|(name, text)| (name, clean(text)))
    .chain((!s.photographs.is_empty()).then(|| ("photographs", clean(&s.photographs.join(", ")))))
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
        h1 { (clean(&title)) }
        p { "Made " (clean(&record.made)) ". Criteria: " (clean(&record.criteria.title)) "." }
        table { @for (name, text) in described(record) { tr { th { (name) } td { (text) } } } }
        h2 { "Criteria" }
        table {
            tr { th { "criterion" } th { "wanted" } th { "measured" } th { "outcome" } }
            @for r in &record.results {
                tr { td { (clean(&r.criterion)) } td { (clean(&r.wanted)) } td { (clean(&r.measured)) } td { b { (r.outcome.word()) } } }
            }
        }
        @if let Some((from, _)) = analysis.time {
            h2 { "Level over time" }
            (PreEscaped(plot::over_time(&analysis.trace, from, "dBm", &[], &[])))
            p { "Line: mean of the dB values of each moment. Band: from the lowest to the highest." }
        }
        h2 { "Modem and evidence" }
        table {
            @for (name, text) in &record.identities { tr { th { (name) } td { (clean(text)) } } }
            @for (name, hash) in &record.evidence_sha256 { tr { th { "SHA-256 of " (clean(name)) } td { (hash) } } }
        }
        div class="caution" { b { "Cautions" } ul { @for c in CAUTIONS { li { (c) } } } }
        div class="sign" { div { "Installer, date" } div { "Accepted by, date" } }
    };
    plot::page(&title, &body)
}

/// The same as Markdown.
pub fn markdown(record: &Record) -> String {
    let cell = |text: &str| {
        clean(text)
            .replace('\\', "\\\\")
            .replace('|', "\\|")
            .replace('<', "&lt;")
            .replace(['\n', '\r'], " ")
    };
    let mut out = format!(
        "# Acceptance of {}: {}\n\nMade {}. Criteria: {}.\n\n",
        cell(&record.site.name),
        record.outcome.word(),
        cell(&record.made),
        cell(&record.criteria.title)
    );
    // Writing to a string cannot fail.
    for (name, text) in described(record) {
        let _ = writeln!(out, "- {name}: {}", cell(&text));
    }
    out.push_str("\n| criterion | wanted | measured | outcome |\n| --- | --- | --- | --- |\n");
    for r in &record.results {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} |",
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
    for caution in CAUTIONS {
        let _ = writeln!(out, "- {caution}");
    }
    out.push_str(
        "\nInstaller, date: ____________________    Accepted by, date: ____________________\n",
    );
    out
}
