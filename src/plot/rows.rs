//! One row a spot: lowest to highest as a thin line, tenth to ninetieth percentile as a bar, median with its bounds.

use super::axis::{Axis, words};
use super::picture::{Picture, shortened};
use maud::Markup;

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
pub fn rows(rows: &[Row], unit: &str) -> Markup {
    let height = 52.0 + 26.0 * rows.len() as f64;
    let mut out = Picture::new(
        720.0,
        height,
        "Distribution by spot",
        "Thin line: lowest to highest. Bar: tenth to ninetieth percentile. Upright mark: median; bracket: its 95 % bounds.".into(),
    );
    if rows.is_empty() {
        out.text(360.0, 30.0, "middle", "no level was measured");
        return out.finish();
    }
    let low = rows.iter().map(|r| r.range.0).fold(f64::MAX, f64::min);
    let high = rows.iter().map(|r| r.range.1).fold(f64::MIN, f64::max);
    let x = Axis::rounded(low, high, 200.0, 700.0, 6.0);
    let bottom = height - 30.0;
    let marks = x.marks(6.0);
    for (mark, words) in marks.iter().zip(words(&marks)) {
        let at = x.at(*mark);
        out.path(&format!("M{at:.1} 8V{bottom:.1}"), "grid");
        out.text(at, bottom + 14.0, "middle", &words);
    }
    // Left of the first mark, whose number reaches over the axis.
    out.text(172.0, bottom + 14.0, "end small", unit);
    for (i, row) in rows.iter().enumerate() {
        let y = 22.0 + 26.0 * i as f64;
        out.named(&format!("{}: median {:.1} {unit}", row.name, row.median), |out| {
            out.text(192.0, y + 4.0, "end", &shortened(&row.name, 28));
            let (a, b) = (x.at(row.range.0), x.at(row.range.1));
            out.path(&format!("M{a:.1} {y:.1}H{b:.1}"), "axis");
            let (a, b) = (x.at(row.middle.0), x.at(row.middle.1));
            out.rectangle((a, y - 6.0), ((b - a).max(0.5), 12.0), "bar");
            if let Some((low, high)) = row.bounds {
                let (a, b) = (x.at(low), x.at(high));
                let (t, u) = (y - 10.0, y + 10.0);
                out.path(
                    &format!("M{a:.1} {t:.1}v3M{a:.1} {t:.1}H{b:.1}v3M{a:.1} {u:.1}v-3M{a:.1} {u:.1}H{b:.1}v-3"),
                    "axis",
                );
            }
            let m = x.at(row.median);
            out.path(&format!("M{m:.1} {:.1}V{:.1}", y - 8.0, y + 8.0), "k1 thick");
        });
    }
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

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
        assert_eq!(svg.0.matches("class=\"bar\"").count(), 2);
        sound(&rows(&[], "dBm"));
    }
}
