//! A level over time: the mean as a line, the span as a band, gaps as gaps, events as marks.

use super::axis::Axis;
use super::{begin, shape, text};
use chrono::{DateTime, TimeDelta, Utc};
use std::fmt::Write as _;

/// The values of one stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// The lowest value.
    pub low: f64,
    /// The highest value.
    pub high: f64,
    /// The mean of the values in dB.
    pub mean: f64,
}

/// A quantity over time in stretches of equal width; one without values is a gap.
#[derive(Clone, Debug, Default)]
pub struct Curve {
    /// The width of a stretch, seconds.
    pub width_s: f64,
    /// The stretches in order.
    pub stretches: Vec<Option<Stretch>>,
}

/// An event on the time axis.
#[derive(Clone, Debug)]
pub struct Happening {
    /// Seconds from the beginning.
    pub at: f64,
    /// The row of the legend: its shape and colour.
    pub kind: usize,
}

/// Draws a curve that begins at `from`; `kinds` names the shapes of the happenings.
pub fn over_time(
    curve: &Curve,
    from: DateTime<Utc>,
    unit: &str,
    happenings: &[Happening],
    kinds: &[&str],
) -> String {
    let mut out = String::new();
    let stretches = &curve.stretches;
    let told: Vec<&Stretch> = stretches.iter().flatten().collect();
    let (low, high) =
        told.iter().fold((f64::MAX, f64::MIN), |(l, h), b| (l.min(b.low), h.max(b.high)));
    let seconds = stretches.len() as f64 * curve.width_s;
    begin(
        &mut out,
        720.0,
        250.0,
        "Level over time",
        &format!(
            "{} stretches of {} s; line: mean of the dB values, band: lowest to highest.",
            told.len(),
            curve.width_s
        ),
    );
    if told.is_empty() {
        text(&mut out, 360.0, 125.0, "middle", "no level was told");
        out.push_str("</svg>");
        return out;
    }
    let x = Axis::new(0.0, seconds, 52.0, 700.0);
    let y = Axis::rounded(low, high, 206.0, 34.0, 5.0);
    for mark in y.marks(5.0) {
        let at = y.at(mark);
        let _ = write!(out, "<path d=\"M52 {at:.1}H700\" class=\"grid\"/>");
        text(&mut out, 46.0, at + 4.0, "end", &format!("{mark:.0}"));
    }
    text(&mut out, 52.0, 14.0, "small", unit);
    for mark in time_marks(seconds) {
        let at = x.at(mark);
        let _ = write!(out, "<path d=\"M{at:.1} 206v5\" class=\"axis\"/>");
        text(&mut out, at, 224.0, "middle", &clock(from, mark, seconds));
    }
    text(
        &mut out,
        700.0,
        242.0,
        "end small",
        &format!("UTC, from {}", from.format("%Y-%m-%d %H:%M:%S")),
    );
    let middle = |i: usize| x.at((i as f64 + 0.5) * curve.width_s);
    for run in runs(stretches) {
        let mut band = String::new();
        let mut line = String::new();
        for (n, i) in run.clone().enumerate() {
            let Some(b) = stretches[i] else { continue };
            let _ = write!(
                band,
                "{}{:.1} {:.1}",
                if n == 0 { 'M' } else { 'L' },
                middle(i),
                y.at(b.high)
            );
            let _ = write!(
                line,
                "{}{:.1} {:.1}",
                if n == 0 { 'M' } else { 'L' },
                middle(i),
                y.at(b.mean)
            );
        }
        for i in run.clone().rev() {
            let Some(b) = stretches[i] else { continue };
            let _ = write!(band, "L{:.1} {:.1}", middle(i), y.at(b.low));
        }
        if run.len() == 1 {
            // A line of one point is not seen: a short dash stands for it.
            line.push_str("h1.5");
        }
        let _ = write!(
            out,
            "<path d=\"{band}Z\" class=\"band\"/><path d=\"{line}\" class=\"k0 line\"/>"
        );
    }
    for h in happenings {
        let at = x.at(h.at);
        let _ = write!(out, "<path d=\"M{at:.1} 34V206\" class=\"event\"/>");
        shape(&mut out, h.kind + 1, at, 28.0, 4.0);
    }
    legend(&mut out, kinds, happenings);
    out.push_str("</svg>");
    out
}

fn legend(out: &mut String, kinds: &[&str], happenings: &[Happening]) {
    let mut at = 130.0;
    for (kind, words) in kinds.iter().enumerate() {
        if happenings.iter().any(|h| h.kind == kind) {
            shape(out, kind + 1, at, 10.0, 4.0);
            text(out, at + 9.0, 14.0, "small", words);
            at += 24.0 + 6.6 * words.chars().count() as f64;
        }
    }
}

/// The stretches without a gap.
fn runs(stretches: &[Option<Stretch>]) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut start = None;
    for (i, bucket) in stretches.iter().enumerate() {
        match (bucket.is_some(), start) {
            (true, None) => start = Some(i),
            (false, Some(from)) => {
                found.push(from..i);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        found.push(from..stretches.len());
    }
    found
}

/// Round moments for about six marks, in seconds from the beginning.
fn time_marks(seconds: f64) -> Vec<f64> {
    const STEPS: [f64; 17] = [
        1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0, 7200.0,
        21_600.0, 43_200.0, 86_400.0,
    ];
    let step = STEPS
        .into_iter()
        .find(|s| seconds / s <= 7.0)
        .unwrap_or((seconds / 6.0 / 86_400.0).ceil() * 86_400.0);
    let mut marks = Vec::new();
    let mut at = 0.0;
    while at <= seconds {
        marks.push(at);
        at += step;
    }
    marks
}

fn clock(from: DateTime<Utc>, seconds: f64, all: f64) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "a survey lasts less than ages")]
    let at = from + TimeDelta::milliseconds((seconds * 1000.0) as i64);
    if all > 172_800.0 {
        at.format("%d %b %H:%M").to_string()
    } else if all > 600.0 {
        at.format("%H:%M").to_string()
    } else {
        at.format("%H:%M:%S").to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::tests::sound;

    fn drawn(values: &[(usize, f64)], happenings: &[Happening]) -> String {
        let mut curve = Curve { width_s: 1.0, stretches: Vec::new() };
        for &(at, value) in values {
            curve.stretches.resize(at + 1, None);
            curve.stretches[at] = Some(Stretch { low: value - 1.0, high: value, mean: value });
        }
        over_time(&curve, DateTime::UNIX_EPOCH, "RSRP, dBm", happenings, &["cell change", "lost"])
    }

    #[test]
    fn the_line_breaks_at_gaps() {
        let svg = drawn(
            &[(0, -90.0), (1, -91.0), (5, -95.0), (6, -92.0)],
            &[Happening { at: 5.0, kind: 1 }],
        );
        sound(&svg);
        assert_eq!(svg.matches("class=\"band\"").count(), 2);
        assert!(svg.contains("lost") && !svg.contains("cell change"));
    }

    #[test]
    fn nothing_and_one_sample_are_drawn_too() {
        sound(&drawn(&[], &[]));
        sound(&drawn(&[(0, -90.0)], &[]));
        sound(&drawn(&[(0, -90.0), (500, -91.0)], &[]));
    }
}
