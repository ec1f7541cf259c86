//! Levels by heading: levels as points, the fitted pattern as a curve, its direction as a wedge; north is up.

use super::axis::Axis;
use super::picture::Picture;
use maud::Markup;
use std::fmt::Write as _;

/// One heading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadingLevel {
    /// Degrees from north, clockwise.
    pub heading_deg: f64,
    /// Median level, dBm.
    pub level_dbm: f64,
    /// Which cell, in the order of the legend.
    pub cell: usize,
}

/// A fitted direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Beam {
    /// Degrees from north, clockwise.
    pub direction_deg: f64,
    /// Its uncertainty to either side, degrees.
    pub uncertainty_deg: (f64, f64),
    /// The fitted level by heading: degrees and dBm, all around.
    pub curve: Vec<(f64, f64)>,
}

const MIDDLE: (f64, f64) = (190.0, 190.0);
const REACH: f64 = 150.0;

/// Draws the levels; `cells` names their shapes.
pub fn polar(levels: &[HeadingLevel], beam: Option<&Beam>, cells: &[String]) -> Markup {
    let said = beam.map_or_else(
        || "no direction was fitted".to_owned(),
        |b| {
            let (low, high) =
                (b.direction_deg - b.uncertainty_deg.0, b.direction_deg + b.uncertainty_deg.1);
            format!(
                "fitted direction {:.0}°, between {:.0}° and {:.0}°",
                b.direction_deg,
                low.rem_euclid(360.0),
                high.rem_euclid(360.0)
            )
        },
    );
    let mut out = Picture::new(
        720.0,
        380.0,
        "Level by heading",
        format!("{} headings; {said}.", levels.len()),
    );
    let all = levels
        .iter()
        .map(|l| l.level_dbm)
        .chain(beam.iter().flat_map(|b| b.curve.iter().map(|c| c.1)));
    let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
    if low > high {
        out.text(360.0, 190.0, "middle", "no level was measured");
        return out.finish();
    }
    let r = Axis::rounded(low - 2.0, high, 0.0, REACH, 4.0);
    if let Some(b) = beam {
        let (from, to) =
            (b.direction_deg - b.uncertainty_deg.0, b.direction_deg + b.uncertainty_deg.1);
        let ((x1, y1), (x2, y2)) = (place(from, REACH), place(to, REACH));
        let large = i32::from(to - from > 180.0);
        out.path(
            &format!(
                "M{:.1} {:.1}L{x1:.1} {y1:.1}A{REACH:.0} {REACH:.0} 0 {large} 1 {x2:.1} {y2:.1}Z",
                MIDDLE.0, MIDDLE.1
            ),
            "band",
        );
    }
    for mark in r.marks(4.0) {
        let radius = r.at(mark);
        if radius > 1.0 {
            out.circle(MIDDLE, radius, "grid");
        }
    }
    for (heading, name) in [(0.0, "N 0°"), (90.0, "E 90°"), (180.0, "S 180°"), (270.0, "W 270°")]
    {
        let (x, y) = place(heading, REACH);
        out.path(&format!("M{:.1} {:.1}L{x:.1} {y:.1}", MIDDLE.0, MIDDLE.1), "grid");
        let (x, y) = place(heading, REACH + 20.0);
        out.text(x, y + 4.0, "middle", name);
    }
    if let Some(b) = beam {
        let mut curve = String::new();
        for (n, (heading, level)) in b.curve.iter().enumerate() {
            let (x, y) = place(*heading, r.at(*level));
            let _ = write!(curve, "{}{x:.1} {y:.1}", if n == 0 { 'M' } else { 'L' });
        }
        if !curve.is_empty() {
            out.path(&format!("{curve}Z"), "k1 line dash");
        }
        let (x, y) = place(b.direction_deg, REACH);
        out.path(&format!("M{:.1} {:.1}L{x:.1} {y:.1}", MIDDLE.0, MIDDLE.1), "k1 thick");
    }
    for level in levels {
        let (x, y) = place(level.heading_deg, r.at(level.level_dbm));
        // The second shape and colour belong to the fitted curve.
        out.shape(if level.cell == 0 { 0 } else { level.cell + 1 }, x, y, 4.0);
    }
    // The scale stands outside the circle, where no curve runs.
    for mark in r.marks(4.0) {
        let y = MIDDLE.1 - r.at(mark);
        out.path(&format!("M376 {y:.1}h6"), "axis");
        out.text(386.0, y + 4.0, "small", &format!("{mark:.0} dBm"));
    }
    out.path(&format!("M379 {:.1}V{:.1}", MIDDLE.1 - REACH, MIDDLE.1), "axis");
    let mut y = 60.0;
    for (i, name) in cells.iter().enumerate() {
        out.shape(if i == 0 { 0 } else { i + 1 }, 470.0, y - 4.0, 4.0);
        out.text(482.0, y, "", &super::picture::shortened(name, 36));
        y += 22.0;
    }
    if let Some(b) = beam {
        out.path(&format!("M462 {:.1}h16", y - 4.0), "k1 line dash");
        out.text(482.0, y, "", "fitted pattern");
        y += 22.0;
        out.rectangle((462.0, y - 10.0), (16.0, 12.0), "band");
        let words = format!(
            "direction {:.0}°, −{:.0}° / +{:.0}°",
            b.direction_deg, b.uncertainty_deg.0, b.uncertainty_deg.1
        );
        out.text(482.0, y, "strong", &words);
    }
    out.finish()
}

fn place(heading_deg: f64, radius: f64) -> (f64, f64) {
    let (sin, cos) = heading_deg.to_radians().sin_cos();
    (MIDDLE.0 + radius * sin, MIDDLE.1 - radius * cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    #[test]
    fn north_is_up_and_east_is_right() {
        let (north, east) = (place(0.0, 10.0), place(90.0, 10.0));
        assert!(
            (north.1 - (MIDDLE.1 - 10.0)).abs() < 1e-9 && (east.0 - (MIDDLE.0 + 10.0)).abs() < 1e-9
        );
    }

    #[test]
    fn levels_with_and_without_a_beam_are_drawn() {
        let levels: Vec<_> = (0..12)
            .map(|i| HeadingLevel {
                heading_deg: 30.0 * f64::from(i),
                level_dbm: -100.0 + f64::from(i % 5),
                cell: usize::from(i > 8),
            })
            .collect();
        let curve = (0..72).map(|i| (5.0 * f64::from(i), -100.0)).collect();
        let beam = Beam { direction_deg: 353.0, uncertainty_deg: (6.0, 9.0), curve };
        let cells = ["band 20".to_owned(), "band 3".to_owned()];
        sound(&polar(&levels, Some(&beam), &cells));
        sound(&polar(&levels, None, &cells));
        sound(&polar(&[], None, &[]));
        assert!(sound(&polar(&levels, Some(&beam), &cells)).contains("between 347° and 2°"));
    }
}
