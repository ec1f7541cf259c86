//! The figures of a survey for a terminal.

use crate::sanitize::plain;
use crate::statistics::difference;
use crate::survey::analysis::Analysis;
use crate::survey::limits::ceiling_mbit_s;
use std::fmt::Write;

/// A number with its noun.
fn counted(n: u64, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

/// The table of spots, and whether the best one is really better than the next.
pub fn table(analysis: &Analysis) -> String {
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(
        out,
        "{}, {}, {}",
        counted(analysis.samples, "sample"),
        counted(analysis.spots.len() as u64, "spot"),
        counted(analysis.event_count, "event")
    );
    let _ = writeln!(
        out,
        "median and percentiles are of the dB values; the linear average is of milliwatts\n"
    );
    let _ = writeln!(
        out,
        "{:20} {:>7} {:>6} {:>8} {:>17} {:>7} {:>7} {:>7}",
        "spot", "samples", "indep.", "median", "95 % bounds", "p10", "power", "fading"
    );
    for spot in &analysis.spots {
        let name = if spot.name.is_empty() { "(between spots)" } else { &spot.name };
        let name: String = plain(name).chars().take(20).collect();
        match spot.main().and_then(super::super::spot::CellSeries::level) {
            Some(l) => {
                let bounds = l
                    .median_interval
                    .map_or_else(|| "too few".into(), |i| format!("{:.1} to {:.1}", i.low, i.high));
                let independent = l.effective.map_or_else(|| "-".into(), |n| n.to_string());
                let _ = writeln!(
                    out,
                    "{name:20} {:>7} {independent:>6} {:>8.1} {bounds:>17} {:>7.1} {:>7.1} {:>7.1}",
                    l.count, l.median, l.p10, l.linear_average, l.fading_db
                );
            }
            None => {
                let _ = writeln!(out, "{name:20} {:>7}   no level was told", spot.samples);
            }
        }
    }
    out.push('\n');
    for spot in &analysis.spots {
        let Some(main) = spot.main() else { continue };
        let name = if spot.name.is_empty() { "(between spots)" } else { &spot.name };
        let rate = (main.sinr.count() > 0)
            .then(|| main.sinr.distribution().quantile(0.5))
            .map_or_else(String::new, |s| {
                format!("; at most {:.0} Mbit/s in 10 MHz", ceiling_mbit_s(s, 10.0))
            });
        let _ = writeln!(
            out,
            "{}: {}; {}{rate}",
            plain(name),
            plain(&main.cell.to_string()),
            main.limit().words()
        );
        if let Some([best, weakest]) = main.receive_branch_medians() {
            let _ = writeln!(
                out,
                "  antenna branches: port {} {:.1} dBm, port {} {:.1} dBm, {:.1} dB apart",
                best.0,
                best.1,
                weakest.0,
                weakest.1,
                best.1 - weakest.1
            );
        }
        if spot.cells.len() > 1 || spot.unregistered > 0 {
            let _ = writeln!(
                out,
                "  {} cells served, {} changes, {} samples without registration",
                spot.cells.len(),
                spot.cell_changes,
                spot.unregistered
            );
        }
    }
    if let Some(words) = best(analysis) {
        let _ = writeln!(out, "\n{words}");
    }
    out
}

/// The best spot against the next best.
fn best(analysis: &Analysis) -> Option<String> {
    let mut spots: Vec<_> = analysis
        .spots
        .iter()
        .filter(|s| !s.name.is_empty())
        .filter_map(|s| Some((s, s.main()?, s.main()?.level()?.median)))
        .collect();
    spots.sort_by(|a, b| b.2.total_cmp(&a.2));
    let [first, second, ..] = spots.as_slice() else { return None };
    let d = difference(&first.1.rsrp, &second.1.rsrp)?;
    Some(format!(
        "Highest median: {}. It lies {:.1} dB {} {} (95 % bounds {:.1} to {:.1} dB); the difference is {}.",
        plain(&first.0.name),
        d.shift_db.abs(),
        // Medians that are near can order otherwise than the shift between all samples.
        if d.shift_db < 0.0 { "below" } else { "above" },
        plain(&second.0.name),
        d.low_db,
        d.high_db,
        if d.is_shown() { "shown" } else { "not shown: chance explains it" }
    ))
}
