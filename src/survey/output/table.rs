//! The figures of surveys for a terminal: registered share before level, the worst spot first.

use super::figures::{Figures, median};
use super::{NO_INDICES, SIMULATED};
use crate::sanitize::plain;
use crate::statistics::difference;
use crate::survey::analysis::Analysis;
use crate::survey::limits::ceiling_mbit_s;
use crate::survey::visits::Visit;

/// So many spots get lines of their own below the table.
const DETAILED: usize = 20;

/// A number with its noun.
fn counted(n: u64, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

/// The tables of all visits.
pub fn table(visits: &[Visit]) -> String {
    visits.iter().map(one).collect::<Vec<_>>().join("\n")
}

fn one(visit: &Visit) -> String {
    let analysis = &visit.analysis;
    let mut out = String::new();
    out.push_str(&format!(
        "{}, {}, {}\n",
        counted(analysis.samples, "sample"),
        counted(analysis.spots.len() as u64, "spot"),
        counted(analysis.event_count, "event")
    ));
    if analysis.head.rehearsal {
        out.push_str(SIMULATED);
        out.push('\n');
    }
    out.push_str(&format!("site {}", plain(&visit.site)));
    if let Some(day) = visit.date() {
        out.push_str(&format!(", visit of {day}"));
    }
    for (name, text) in [("by", &analysis.head.visit.who), ("because", &analysis.head.visit.why)] {
        if !text.is_empty() {
            out.push_str(&format!(", {name} {}", plain(text)));
        }
    }
    out.push_str("\nMedian and percentiles are of the dB values, linear average of milliwatts; ~ independent samples.\n");
    if analysis.may_be_half_a_step_low() {
        out.push_str(NO_INDICES);
        out.push('\n');
    }
    out.push_str(&format!(
        "\n{:20} {:>10} {:>8} {:>17} {:>7} {:>7} {:>6} {:>7} {:>6}\n",
        "spot, worst first",
        "registered",
        "median",
        "95 % bounds",
        "p10",
        "average",
        "SINR",
        "samples",
        "indep."
    ));
    let spots = Figures::worst_first(analysis);
    for figures in &spots {
        let name: String = plain(figures.spot.shown_name()).chars().take(20).collect();
        out.push_str(&format!("{name:20} {:>10} ", figures.share_words()));
        match &figures.level {
            Some(l) => {
                let sinr = median(&figures.spot.used.sinr)
                    .map_or_else(|| "-".into(), |s| format!("{s:.1}"));
                out.push_str(&format!(
                    "{:>8.1} {:>17} {:>7.1} {:>7.1} {sinr:>6} {:>7} {:>6}\n",
                    l.median,
                    figures.bounds_words(),
                    l.p10,
                    l.linear_average,
                    figures.spot.samples,
                    figures.effective_words()
                ));
            }
            None => {
                out.push_str(&format!(
                    "{:>8} {:>49} {:>7}\n",
                    "no level", "", figures.spot.samples
                ));
            }
        }
    }
    out.push('\n');
    for figures in spots.iter().take(DETAILED) {
        detail(figures, &mut out);
    }
    if spots.len() > DETAILED {
        out.push_str(&format!(
            "{} more spots: see the page (--html) or the export.\n",
            spots.len() - DETAILED
        ));
    }
    if let Some(words) = best(analysis) {
        out.push_str(&format!("\n{words}\n"));
    }
    out
}

fn detail(figures: &Figures<'_>, out: &mut String) {
    let spot = figures.spot;
    let name = plain(spot.shown_name());
    let Some(main) = spot.main() else {
        let state = spot.last_state.map_or_else(String::new, |s| format!(", last state {s}"));
        out.push_str(&format!("{name}: never registered{state}\n"));
        return;
    };
    let rate = median(&main.sinr).map_or_else(String::new, |s| {
        format!("; at most {:.0} Mbit/s in 10 MHz", ceiling_mbit_s(s, 10.0))
    });
    out.push_str(&format!(
        "{name}: {}; {}{rate}\n",
        plain(&main.cell.to_string()),
        main.limit().words()
    ));
    if let Some([best, weakest]) = main.receive_branch_medians() {
        out.push_str(&format!(
            "  receive branches: port {} {:.1} dBm, port {} {:.1} dBm, {:.1} dB apart\n",
            best.0,
            best.1,
            weakest.0,
            weakest.1,
            best.1 - weakest.1
        ));
    }
    if spot.cells.len() > 1 || spot.unregistered > 0 {
        out.push_str(&format!(
            "  {} served, {}, {} without registration\n",
            counted(spot.cells.len() as u64, "cell"),
            counted(spot.cell_changes, "change"),
            counted(spot.unregistered, "sample")
        ));
    }
}

/// The best spot against the next best, in the order of the table.
fn best(analysis: &Analysis) -> Option<String> {
    let spots: Vec<_> = Figures::worst_first(analysis)
        .into_iter()
        .filter(|f| !f.spot.name.is_empty() && f.level.is_some())
        .collect();
    let [.., second, first] = spots.as_slice() else { return None };
    let (a, b) = (first.level.as_ref()?.median, second.level.as_ref()?.median);
    let mut words = format!(
        "Best: {} (registered {}, median {a:.1} dBm); next {} (registered {}, median {b:.1} dBm).",
        plain(&first.spot.name),
        first.share_words(),
        plain(&second.spot.name),
        second.share_words()
    );
    match difference(&first.spot.used.rsrp, &second.spot.used.rsrp) {
        Some(d) if d.is_shown() => words.push_str(&format!(
            " The levels differ by {:+.1} dB (95 % bounds {:+.1} to {:+.1} dB).",
            d.shift_db, d.low_db, d.high_db
        )),
        Some(_) => words.push_str(" Chance explains the difference of their levels."),
        None => words.push_str(" They were measured too shortly to tell their levels apart."),
    }
    Some(words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::sample::tests_sample;

    #[test]
    fn a_spot_that_is_seldom_registered_comes_first_and_is_never_the_best() {
        let mut analysis = Analysis::default();
        let mut sample = tests_sample(1);
        for n in 0..200 {
            sample.at += chrono::TimeDelta::seconds(1);
            sample.number += 1;
            sample.spot = if n < 100 { "roof".into() } else { "door".into() };
            // The roof is strong, and registered a tenth of the time.
            sample.registration = Some(if n < 100 && n % 10 > 0 { 2 } else { 1 });
            sample.levels.rsrp_dbm = Some(if n < 100 { -70.0 } else { -95.0 });
            analysis.sample(&sample);
        }
        let visit = Visit { path: "w".into(), site: "Hut".into(), analysis };
        let text = table(&[visit]);
        let rows: Vec<_> =
            text.lines().skip_while(|l| !l.starts_with("spot, worst")).skip(1).collect();
        assert!(rows[0].starts_with("roof") && rows[0].contains("10 %"), "{text}");
        assert!(text.contains("Best: door (registered 100 %"), "{text}");
    }
}
