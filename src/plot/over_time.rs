//! A level over time: the mean as a line, the span as a band, gaps as gaps, events as marks.

use super::axis::{Axis, words};
use super::picture::Picture;
use chrono::{DateTime, TimeDelta, Utc};
use maud::Markup;
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
) -> Markup {
    let stretches = &curve.stretches;
    let filled: Vec<&Stretch> = stretches.iter().flatten().collect();
    let (low, high) =
        filled.iter().fold((f64::MAX, f64::MIN), |(l, h), b| (l.min(b.low), h.max(b.high)));
    let seconds = stretches.len() as f64 * curve.width_s;
    let mut out = Picture::new(
        720.0,
        266.0,
        "Level over time",
        format!(
            "{} stretches of {} s; line: mean of the dB values, band: lowest to highest.",
            filled.len(),
            curve.width_s
        ),
    );
    if filled.is_empty() {
        out.text(360.0, 125.0, "middle", "no level was measured");
        return out.finish();
    }
    let x = Axis::new(0.0, seconds, 52.0, 700.0);
    let y = Axis::rounded(low, high, 222.0, 50.0, 5.0);
    let marks = y.marks(5.0);
    for (mark, words) in marks.iter().zip(words(&marks)) {
        let at = y.at(*mark);
        out.path(&format!("M52 {at:.1}H700"), "grid");
        out.text(46.0, at + 4.0, "end", &words);
    }
    out.text(4.0, 30.0, "small", unit);
    for mark in time_marks(seconds) {
        let at = x.at(mark);
        out.path(&format!("M{at:.1} 222v5"), "axis");
        out.text(at, 240.0, "middle", &clock(from, mark, seconds));
    }
    out.text(700.0, 258.0, "end small", &format!("UTC, from {}", from.format("%Y-%m-%d %H:%M:%S")));
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
            // A line of one point is not seen: a short dash is drawn for it.
            line.push_str("h1.5");
        }
        out.path(&format!("{band}Z"), "band");
        out.path(&line, "k0 line");
    }
    for h in happenings {
        let at = x.at(h.at);
        out.path(&format!("M{at:.1} 50V222"), "event");
        out.shape(h.kind + 1, at, 44.0, 4.0);
    }
    legend(&mut out, kinds, happenings);
    out.finish()
}

fn legend(out: &mut Picture, kinds: &[&str], happenings: &[Happening]) {
    out.path("M52 10h16", "k0 line");
    out.text(72.0, 14.0, "small", "mean");
    out.rectangle((112.0, 5.0), (16.0, 10.0), "band");
    out.text(132.0, 14.0, "small", "lowest to highest");
    let mut at = 240.0;
    for (kind, words) in kinds.iter().enumerate() {
        if happenings.iter().any(|h| h.kind == kind) {
            out.shape(kind + 1, at, 10.0, 4.0);
            out.text(at + 9.0, 14.0, "small", words);
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
        .find(|s| seconds / s <= 6.0)
        .unwrap_or((seconds / 6.0 / 86_400.0).ceil() * 86_400.0);
    let mut marks = Vec::new();
    let mut at = 0.0;
    while at <= seconds {
        marks.push(at);
        at += step;
    }
    marks
}

/// A moment, with its day where the plot spans more than one.
fn clock(from: DateTime<Utc>, seconds: f64, all: f64) -> String {
    let moment = |seconds: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a survey lasts less than ages")]
        let at = TimeDelta::try_milliseconds((seconds * 1000.0) as i64);
        at.and_then(|at| from.checked_add_signed(at)).unwrap_or(from)
    };
    let form = if all > 6.0 * 86_400.0 {
        "%Y-%m-%d"
    } else if moment(all).date_naive() != from.date_naive() {
        "%d %b %H:%M"
    } else if all > 600.0 {
        "%H:%M"
    } else {
        "%H:%M:%S"
    };
    moment(seconds).format(form).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    fn drawn(values: &[(usize, f64)], happenings: &[Happening]) -> Markup {
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
        let svg = sound(&svg);
        assert_eq!(svg.matches("Z\" class=\"band\"").count(), 2);
        assert!(svg.contains("lost") && !svg.contains("cell change"));
    }

    #[test]
    fn the_marks_of_any_length_are_distinct() {
        for seconds in [1.0, 7.0, 90.0, 4000.0, 100_000.0, 700_000.0, 4e7] {
            let marks: Vec<_> = time_marks(seconds)
                .iter()
                .map(|m| clock(DateTime::UNIX_EPOCH, *m, seconds))
                .collect();
            let distinct: std::collections::BTreeSet<_> = marks.iter().collect();
            assert_eq!(distinct.len(), marks.len(), "{seconds} s: {marks:?}");
        }
    }

    #[test]
    fn nothing_and_one_sample_are_drawn_too() {
        sound(&drawn(&[], &[]));
        sound(&drawn(&[(0, -90.0)], &[]));
        sound(&drawn(&[(0, -90.0), (500, -91.0)], &[]));
    }
}
