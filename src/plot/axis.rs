//! A linear axis: its range in the figures' unit, its place in the picture, its round marks.

/// From figures to places.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Axis {
    /// An axis that shows `low..=high` between the places `from` and `to`; a point is given some width.
    pub(super) fn new(low: f64, high: f64, from: f64, to: f64) -> Self {
        let (low, high) = if high - low < 1e-9 { (low - 0.5, low + 0.5) } else { (low, high) };
        Self { low, high, from, to }
    }

    /// Widened to round marks.
    pub(super) fn rounded(low: f64, high: f64, from: f64, to: f64, marks: f64) -> Self {
        let bare = Self::new(low, high, from, to);
        let step = bare.step(marks);
        Self {
            low: (bare.low / step).floor() * step,
            high: (bare.high / step).ceil() * step,
            from,
            to,
        }
    }

    /// The place of a figure, kept inside the axis.
    pub(super) fn at(self, value: f64) -> f64 {
        let part = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.from + part * (self.to - self.from)
    }

    /// The round step that gives about `marks` marks.
    fn step(self, marks: f64) -> f64 {
        let raw = (self.high - self.low) / marks;
        let ten = 10f64.powf(raw.log10().floor());
        [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .map(|m| m * ten)
            .find(|s| *s >= raw * 0.999)
            .unwrap_or(10.0 * ten)
    }

    /// The round marks, about as many as asked for.
    pub(super) fn marks(self, about: f64) -> Vec<f64> {
        let step = self.step(about);
        let first = (self.low / step - 1e-9).ceil();
        let mut marks = Vec::new();
        let mut i = first;
        while i * step <= self.high + step * 1e-9 && marks.len() < 100 {
            marks.push(i * step);
            i += 1.0;
        }
        marks
    }
}

/// The marks in words, with as many decimals as tell them apart.
pub(super) fn words(marks: &[f64]) -> Vec<String> {
    let step = marks.windows(2).map(|w| w[1] - w[0]).fold(f64::MAX, f64::min);
    let decimals = (0..4).find(|d| (step * 10f64.powi(*d)).fract().abs() < 1e-6).unwrap_or(0);
    let decimals = usize::try_from(decimals).unwrap_or(0);
    marks
        .iter()
        .map(|mark| format!("{:.decimals$}", if mark.abs() < 1e-9 { 0.0 } else { *mark }))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_round_and_inside() {
        let axis = Axis::rounded(-117.3, -84.2, 0.0, 100.0, 5.0);
        assert_eq!(axis.marks(5.0), [-120.0, -110.0, -100.0, -90.0, -80.0]);
        assert!((axis.at(-120.0)).abs() < 1e-9 && (axis.at(-80.0) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn the_words_of_marks_are_distinct() {
        assert_eq!(words(&[-98.0, -97.5, -97.0]), ["-98.0", "-97.5", "-97.0"]);
        assert_eq!(words(&[-100.0, -90.0]), ["-100", "-90"]);
        assert_eq!(words(&[-0.2, 0.0, 0.2]), ["-0.2", "0.0", "0.2"]);
    }

    #[test]
    fn a_point_has_an_axis_too() {
        let axis = Axis::rounded(-90.0, -90.0, 0.0, 10.0, 4.0);
        assert!(axis.at(-90.0).is_finite() && axis.marks(4.0).len() >= 2);
    }
}
