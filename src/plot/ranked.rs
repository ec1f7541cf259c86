//! Many spots in one picture: medians from the weakest to the strongest, the extremes by name.

use super::axis::{Axis, words};
use super::picture::{Picture, shortened};
use super::rows::Row;
use maud::Markup;

/// So many of the weakest and of the strongest spots are named.
const NAMED: (usize, usize) = (10, 3);

/// Draws rows that are in order, the weakest first: the median as a dot, tenth to ninetieth percentile as a line.
pub fn ranked(rows: &[Row], unit: &str) -> Markup {
    let mut out = Picture::new(
        720.0,
        340.0,
        "All spots in order",
        format!(
            "{} spots from the weakest to the strongest. Dot: median; line: tenth to ninetieth percentile. The weakest {} and the strongest {} are named.",
            rows.len(),
            NAMED.0.min(rows.len()),
            NAMED.1.min(rows.len())
        ),
    );
    if rows.is_empty() {
        out.text(360.0, 170.0, "middle", "no level was measured");
        return out.finish();
    }
    let low = rows.iter().map(|r| r.middle.0).fold(f64::MAX, f64::min);
    let high = rows.iter().map(|r| r.middle.1).fold(f64::MIN, f64::max);
    let y = Axis::rounded(low, high, 300.0, 20.0, 6.0);
    let x = Axis::new(0.0, (rows.len() - 1) as f64, 60.0, 520.0);
    let marks = y.marks(6.0);
    for (mark, words) in marks.iter().zip(words(&marks)) {
        let at = y.at(*mark);
        out.path(&format!("M52 {at:.1}H528"), "grid");
        out.text(46.0, at + 4.0, "end", &words);
    }
    out.text(4.0, 12.0, "small", unit);
    for (i, row) in rows.iter().enumerate() {
        let at = x.at(i as f64);
        out.named(&format!("{}: median {:.1} {unit}", row.name, row.median), |out| {
            let (a, b) = (y.at(row.middle.0), y.at(row.middle.1));
            out.path(&format!("M{at:.1} {a:.1}V{b:.1}"), "bar");
            out.circle((at, y.at(row.median)), 2.0, "k1");
        });
    }
    out.text(60.0, 318.0, "small", "weakest");
    out.text(520.0, 318.0, "end small", "strongest");
    let list =
        |out: &mut Picture, title: &str, from: f64, named: &mut dyn Iterator<Item = &Row>| {
            out.text(536.0, from, "small", title);
            for (i, row) in named.enumerate() {
                let line = format!("{:.0}  {}", row.median, shortened(&row.name, 22));
                out.text(536.0, from + 16.0 + 15.0 * i as f64, "", &line);
            }
        };
    list(&mut out, "strongest", 30.0, &mut rows.iter().rev().take(NAMED.1));
    list(&mut out, "weakest", 112.0, &mut rows.iter().take(NAMED.0));
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    #[test]
    fn five_hundred_spots_are_all_there_and_the_extremes_named() {
        let rows: Vec<Row> = (0..500)
            .map(|i| {
                let median = -120.0 + f64::from(i) / 10.0;
                Row {
                    name: format!("spot {i}"),
                    range: (median - 9.0, median + 9.0),
                    middle: (median - 4.0, median + 4.0),
                    median,
                    bounds: None,
                }
            })
            .collect();
        let svg = sound(&ranked(&rows, "dBm"));
        assert_eq!(svg.matches("<circle").count(), 500);
        assert!(svg.contains("-120  spot 0<") && svg.contains("-70  spot 499<"));
        assert!(!svg.contains("  spot 250<") && svg.contains("spot 250: median"));
        sound(&ranked(&rows[..1], "dBm"));
        sound(&ranked(&[], "dBm"));
    }
}
