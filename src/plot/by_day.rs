//! Counts of each day as bars: all of them, and the part that is in trouble.

use super::axis::{Axis, words};
use super::picture::Picture;
use chrono::NaiveDate;
use maud::Markup;

/// The counts of one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayBar {
    /// The day.
    pub day: NaiveDate,
    /// Those in trouble.
    pub part: u64,
    /// All, those in trouble among them.
    pub all: u64,
}

/// Draws a bar a day, in their order; `names` are what the part and the rest are called.
pub fn by_day(bars: &[DayBar], names: [&str; 2]) -> Markup {
    let most = bars.iter().map(|bar| bar.all).max().unwrap_or(0);
    let description = format!(
        "{} days; the lower part of each bar: {}, the upper: {}.",
        bars.len(),
        names[0],
        names[1]
    );
    let mut out = Picture::new(720.0, 230.0, "Counts by day", description);
    if most == 0 {
        out.text(360.0, 110.0, "middle", "no day has a record");
        return out.finish();
    }
    let y = Axis::rounded(0.0, most as f64, 190.0, 34.0, 4.0);
    let marks = y.marks(4.0);
    for (mark, words) in marks.iter().zip(words(&marks)) {
        let at = y.at(*mark);
        out.path(&format!("M52 {at:.1}H700"), "grid");
        out.text(46.0, at + 4.0, "end", &words);
    }
    let width = 648.0 / bars.len() as f64;
    let thick = (width * 0.7).min(40.0);
    // A date needs about this much room.
    let every = (64.0 / width).ceil().max(1.0);
    for (n, bar) in bars.iter().enumerate() {
        let middle = 52.0 + (n as f64 + 0.5) * width;
        let (zero, part, all) = (y.at(0.0), y.at(bar.part as f64), y.at(bar.all as f64));
        let name = format!("{}: {} of {} {}", bar.day, bar.part, bar.all, names[0]);
        out.named(&name, |out| {
            out.rectangle((middle - thick / 2.0, all), (thick, part - all), "bar");
            out.rectangle((middle - thick / 2.0, part), (thick, zero - part), "k1");
        });
        if (n as f64 % every) < 0.5 {
            out.text(middle, 206.0, "middle", &bar.day.format("%m-%d").to_string());
        }
    }
    out.rectangle((52.0, 8.0), (12.0, 12.0), "k1");
    out.text(70.0, 18.0, "", names[0]);
    out.rectangle((300.0, 8.0), (12.0, 12.0), "bar");
    out.text(318.0, 18.0, "", names[1]);
    out.text(700.0, 224.0, "end small", "days in UTC");
    out.finish()
}

#[cfg(test)]
mod tests {
    use super::super::picture::sound;
    use super::*;

    #[test]
    fn each_day_says_its_counts() {
        let day = |day| NaiveDate::from_ymd_opt(2026, 5, day).unwrap();
        let bars =
            [DayBar { day: day(3), part: 2, all: 9 }, DayBar { day: day(4), part: 0, all: 8 }];
        let svg = sound(&by_day(&bars, ["failing", "others"]));
        assert!(svg.contains("2026-05-03: 2 of 9 failing"), "{svg}");
        sound(&by_day(&[], ["failing", "others"]));
    }
}
