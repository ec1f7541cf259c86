//! One row a spot: lowest to highest as a thin line, tenth to ninetieth percentile as a bar, median with its bounds.

use super::axis::Axis;
use super::{begin, text};
use std::fmt::Write as _;

/// The figures of one row, in one unit.
#[derive(Clone, Debug)]
pub struct Row {
    /// What it is called.
    pub name: String,
    /// Lowest and highest value.
    pub range: (f64, f64),
    /// Tenth and ninetieth percentile.
    pub middle: (f64, f64),
    /// The median.
    pub median: f64,
    /// Its 95 % bounds.
    pub bounds: Option<(f64, f64)>,
}

/// Draws the rows one under the other over a common axis.
pub fn rows(rows: &[Row], unit: &str) -> String {
    let mut out = String::new();
    let height = 52.0 + 26.0 * rows.len() as f64;
    begin(
        &mut out,
        720.0,
        height,
        "Distribution by spot",
        "Thin line: lowest to highest. Bar: tenth to ninetieth percentile. Upright mark: median; bracket: its 95 % bounds.",
    );
    if rows.is_empty() {
        text(&mut out, 360.0, 30.0, "middle", "no level was told");
        out.push_str("</svg>");
        return out;
    }
    let low = rows.iter().map(|r| r.range.0).fold(f64::MAX, f64::min);
    let high = rows.iter().map(|r| r.range.1).fold(f64::MIN, f64::max);
    let x = Axis::rounded(low, high, 200.0, 700.0, 6.0);
    let bottom = height - 30.0;
    for mark in x.marks(6.0) {
        let at = x.at(mark);
        let _ = write!(out, "<path d=\"M{at:.1} 8V{bottom:.1}\" class=\"grid\"/>");
        text(&mut out, at, bottom + 14.0, "middle", &format!("{mark:.0}"));
    }
    // Left of the first mark, whose number reaches over the axis.
    text(&mut out, 172.0, bottom + 14.0, "end small", unit);
    for (i, row) in rows.iter().enumerate() {
        let y = 22.0 + 26.0 * i as f64;
        text(&mut out, 192.0, y + 4.0, "end", &shortened(&row.name, 28));
        let (a, b) = (x.at(row.range.0), x.at(row.range.1));
        let _ = write!(out, "<path d=\"M{a:.1} {y:.1}H{b:.1}\" class=\"axis\"/>");
        let (a, b) = (x.at(row.middle.0), x.at(row.middle.1));
        let _ = write!(
            out,
            "<rect x=\"{a:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"12\" class=\"bar\"/>",
            y - 6.0,
            (b - a).max(0.5)
        );
        if let Some((low, high)) = row.bounds {
            let (a, b) = (x.at(low), x.at(high));
            let (t, u) = (y - 10.0, y + 10.0);
            let _ = write!(
                out,
                "<path d=\"M{a:.1} {t:.1}v3M{a:.1} {t:.1}H{b:.1}v3M{a:.1} {u:.1}v-3M{a:.1} {u:.1}H{b:.1}v-3\" class=\"axis\"/>"
            );
        }
        let m = x.at(row.median);
        let _ =
            write!(out, "<path d=\"M{m:.1} {:.1}V{:.1}\" class=\"k1 thick\"/>", y - 8.0, y + 8.0);
    }
    out.push_str("</svg>");
    out
}

pub(super) fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_owned();
    }
    let mut short: String = name.chars().take(most - 1).collect();
    short.push('…');
    short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::tests::sound;

    #[test]
    fn every_row_is_drawn_once_and_hostile_names_stay_text() {
        let row = |name: &str| Row {
            name: name.to_owned(),
            range: (-110.0, -90.0),
            middle: (-105.0, -94.0),
            median: -99.5,
            bounds: Some((-100.5, -98.7)),
        };
        let svg = rows(
            &[row("hut door"), row("<b>\u{1b}[31m & a very long name that does not fit")],
            "RSRP, dBm",
        );
        sound(&svg);
        assert_eq!(svg.matches("class=\"bar\"").count(), 2);
        sound(&rows(&[], "dBm"));
    }
}
