//! Spots on a plain grid of metres, with a scale bar and north up; no network, no background.

use super::picture::{Picture, shortened};
use maud::Markup;

/// A spot on the map.
#[derive(Clone, Debug)]
pub struct Dot {
    /// Its name.
    pub name: String,
    /// Latitude, degrees north.
    pub latitude: f64,
    /// Longitude, degrees east.
    pub longitude: f64,
    /// The row of the legend: shape and colour.
    pub class: usize,
    /// The words beside the name, `-98 dBm`.
    pub label: String,
}

/// Metres of a degree of latitude on a sphere of the Earth's mean radius.
const METRES_A_DEGREE: f64 = 111_195.08;

/// The picture's drawing area.
const AREA: (f64, f64, f64, f64) = (20.0, 20.0, 520.0, 380.0);

/// With more dots than these, only the weakest are labelled.
const ALL_LABELLED: usize = 25;

/// So many of the weakest are labelled where there are many.
const WEAKEST: usize = 10;

/// Draws the dots, the weakest first in `dots`; `classes` names the shapes.
pub fn map(dots: &[Dot], classes: &[&str]) -> Markup {
    let labelled = if dots.len() > ALL_LABELLED { WEAKEST } else { dots.len() };
    let mut out = Picture::new(
        720.0,
        420.0,
        "Map of the spots",
        format!("{} spots on a grid, north up; {labelled} of them labelled.", dots.len()),
    );
    let Some(first) = dots.first() else {
        out.text(360.0, 200.0, "middle", "no spot has a position");
        return out.finish();
    };
    let metres: Vec<(f64, f64)> = dots
        .iter()
        .map(|d| {
            let east = (d.longitude - first.longitude + 540.0).rem_euclid(360.0) - 180.0;
            let shrink = first.latitude.to_radians().cos();
            (east * METRES_A_DEGREE * shrink, (d.latitude - first.latitude) * METRES_A_DEGREE)
        })
        .collect();
    let span = |part: fn(&(f64, f64)) -> f64| {
        metres.iter().map(part).fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)))
    };
    let ((west, east), (south, north)) = (span(|m| m.0), span(|m| m.1));
    let (left, top, right, bottom) = AREA;
    // Labels stand right of their dots: they get room there.
    let scale = ((right - left - 170.0) / (east - west).max(20.0))
        .min((bottom - top - 50.0) / (north - south).max(20.0));
    let shift = (
        left + 30.0 - west * scale
            + ((right - left - 170.0) - (east - west) * scale).max(0.0) / 2.0,
        f64::midpoint(top, bottom) + f64::midpoint(south, north) * scale,
    );
    let place = |m: &(f64, f64)| (shift.0 + m.0 * scale, shift.1 - m.1 * scale);
    let step = round_metres(90.0 / scale);
    grid(&mut out, shift, step * scale);
    let mut taken: Vec<(f64, f64)> = Vec::new();
    let size = if dots.len() > 100 { 4.0 } else { 6.0 };
    // The weakest stand first, and on top of the others.
    for (rank, (dot, m)) in dots.iter().zip(&metres).enumerate().rev() {
        let (x, y) = place(m);
        out.named(&format!("{}  {}", dot.name, dot.label), |out| out.shape(dot.class, x, y, size));
        if rank >= labelled {
            continue;
        }
        // A label moves down until it covers no other one; a thin line then leads to its dot.
        let mut at = y + 4.0;
        while taken.iter().any(|(tx, ty)| (tx - x).abs() < 150.0 && (ty - at).abs() < 13.0)
            && at < bottom + 30.0
        {
            at += 13.0;
        }
        taken.push((x, at));
        if at - y > 10.0 {
            out.path(&format!("M{x:.1} {y:.1}L{:.1} {:.1}", x + 11.0, at - 4.0), "grid");
        }
        out.text(x + 12.0, at, "small", &format!("{}  {}", shortened(&dot.name, 22), dot.label));
    }
    let bar = step * scale;
    out.path(&format!("M{left:.1} 396v8M{left:.1} 400h{bar:.1}M{:.1} 396v8", left + bar), "axis");
    out.text(left + bar + 8.0, 404.0, "", &metres_in_words(step));
    out.path("M560 60L567 36L574 60L567 54Z", "ink");
    out.text(567.0, 30.0, "middle strong", "N");
    let mut y = 100.0;
    for (i, words) in classes.iter().enumerate() {
        if dots.iter().any(|d| d.class == i) {
            out.shape(i, 560.0, y - 4.0, 6.0);
            out.text(574.0, y, "small", words);
            y += 22.0;
        }
    }
    if labelled < dots.len() {
        out.text(548.0, y + 8.0, "small", "the weakest are labelled;");
        out.text(548.0, y + 22.0, "small", "point at a spot for its name");
    }
    out.finish()
}

/// Lines every `step` places through the origin.
fn grid(out: &mut Picture, origin: (f64, f64), step: f64) {
    let (left, top, right, bottom) = AREA;
    out.rectangle((left, top), (right - left, bottom - top), "grid");
    let mut x = left + (origin.0 - left).rem_euclid(step);
    while x < right {
        out.path(&format!("M{x:.1} {top}V{bottom}"), "grid");
        x += step;
    }
    let mut y = top + (origin.1 - top).rem_euclid(step);
    while y < bottom {
        out.path(&format!("M{left} {y:.1}H{right}"), "grid");
        y += step;
    }
}

fn round_metres(raw: f64) -> f64 {
    let ten = 10f64.powf(raw.max(1.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * ten).find(|s| *s >= raw).unwrap_or(10.0 * ten)
}

fn metres_in_words(metres: f64) -> String {
    if metres >= 1000.0 { format!("{:.0} km", metres / 1000.0) } else { format!("{metres:.0} m") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    fn dot(latitude: f64, longitude: f64) -> Dot {
        Dot { name: "weir".to_owned(), latitude, longitude, class: 1, label: "-98 dBm".to_owned() }
    }

    #[test]
    fn one_spot_many_spots_and_none_are_drawn() {
        sound(&map(&[], &[]));
        sound(&map(&[dot(-48.2, -12.4)], &["strong", "fair"]));
        let many: Vec<_> = (0..300)
            .map(|i| dot(-48.2 + f64::from(i) / 1e4, 179.999 + f64::from(i % 7) / 1e3))
            .collect();
        let svg = sound(&map(&many, &["strong", "fair"]));
        assert_eq!(svg.matches("weir  -98 dBm</title>").count(), 300, "each has its name");
        assert_eq!(svg.matches("weir  -98 dBm</text>").count(), WEAKEST);
    }

    #[test]
    fn the_scale_bar_is_round_and_a_spot_over_the_date_line_stays_near() {
        assert!(
            (round_metres(87.0) - 100.0).abs() < 1e-9 && (round_metres(130.0) - 200.0).abs() < 1e-9
        );
        assert_eq!(metres_in_words(2000.0), "2 km");
        let svg = sound(&map(&[dot(0.0, 179.9995), dot(0.0, -179.9995)], &["a", "b"]));
        assert!(svg.contains("20 m") || svg.contains("50 m"), "{svg}");
    }
}
