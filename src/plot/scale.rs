//! One level on its scale: the ranges of judgement side by side, their bounds, the value as a mark.

use super::picture::Picture;
use maud::Markup;

/// A range of a scale, from the lowest up.
#[derive(Clone, Copy, Debug)]
pub struct Range<'a> {
    /// Where it begins; `None` where it is open.
    pub low: Option<f64>,
    /// Where the next one begins; `None` where it is open.
    pub high: Option<f64>,
    /// What it is called.
    pub name: &'a str,
}

/// Left and right end of the scale.
const ENDS: (f64, f64) = (10.0, 410.0);

/// Draws `value` over the ranges; nothing where they have no bound.
pub fn scale(value: f64, unit: &str, ranges: &[Range<'_>]) -> Option<Markup> {
    let bounds: Vec<f64> = ranges.iter().filter_map(|r| r.low).collect();
    let (first, last) = (*bounds.first()?, *bounds.last()?);
    // The open ranges get the room of a middle one.
    let room = ((last - first) / bounds.len() as f64).max(5.0);
    let (low, high) = (first - room, last + room);
    let at =
        |level: f64| ENDS.0 + (level.clamp(low, high) - low) / (high - low) * (ENDS.1 - ENDS.0);
    let words: Vec<_> = ranges
        .iter()
        .map(|r| match (r.low, r.high) {
            (None, Some(high)) => format!("{} below {high} {unit}", r.name),
            (Some(low), _) => format!("{} from {low} {unit}", r.name),
            (None, None) => r.name.to_owned(),
        })
        .collect();
    let description = format!("{value} {unit}. The ranges: {}.", words.join(", "));
    let mut out = Picture::new(420.0, 62.0, "Level on its scale", description);
    for (n, range) in ranges.iter().enumerate() {
        let (a, b) = (at(range.low.unwrap_or(low)), at(range.high.unwrap_or(high)));
        out.rectangle(
            (a, 24.0),
            (b - a, 14.0),
            &format!("range r{}", (n * 4 / ranges.len().max(1)).min(3)),
        );
        if range.low.is_some() {
            out.text(a, 54.0, "middle small", &format!("{}", range.low.unwrap_or(low)));
        }
    }
    let x = at(value);
    out.path(&format!("M{x:.1} 40L{:.1} 18H{:.1}Z", x - 6.0, x + 6.0), "mark");
    let class = match x {
        ..50.0 => "strong",
        370.0.. => "end strong",
        _ => "middle strong",
    };
    out.text(x, 13.0, class, &format!("{value} {unit}"));
    Some(out.finish())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    const RANGES: [Range<'_>; 3] = [
        Range { low: None, high: Some(-115.0), name: "very weak" },
        Range { low: Some(-115.0), high: Some(-95.0), name: "fair" },
        Range { low: Some(-95.0), high: None, name: "good" },
    ];

    #[test]
    fn the_mark_stands_where_the_value_lies_and_never_leaves_the_picture() {
        let place = |value: f64| -> f64 {
            let svg = sound(&scale(value, "dBm", &RANGES).unwrap());
            let path = svg.split(" d=\"M").nth(1).unwrap();
            path.split(' ').next().unwrap().parse().unwrap()
        };
        assert!(place(-120.0) < place(-100.0) && place(-100.0) < place(-90.0));
        assert!((place(-999.0) - ENDS.0).abs() < 0.1 && (place(99.0) - ENDS.1).abs() < 0.1);
    }

    #[test]
    fn the_bounds_are_written_and_a_scale_without_any_is_none() {
        let svg = sound(&scale(-101.0, "dBm", &RANGES).unwrap());
        assert!(
            svg.contains("-101 dBm") && svg.contains(">-115<") && svg.contains(">-95<"),
            "{svg}"
        );
        assert!(scale(1.0, "dB", &RANGES[..1]).is_none());
    }
}
