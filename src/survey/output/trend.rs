//! A site's spots over its visits: where the level was and is, and how long ago that was.

use super::figures::{Figures, percent_words};
use crate::sanitize::plain;
use crate::survey::visits::Visit;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A spot that was not measured for longer than this is called stale, days (common practice, no source).
const STALE_DAYS: i64 = 180;

/// One spot on one visit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The day.
    pub date: NaiveDate,
    /// The median level, dBm.
    pub median_dbm: Option<f64>,
    /// The registered share, percent.
    pub registered_percent: Option<f64>,
}

/// One spot of a site over its visits.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    /// The site.
    pub site: String,
    /// The spot.
    pub spot: String,
    /// The visits in the order of time.
    pub points: Vec<Point>,
    /// Days since the last visit.
    pub days_since: i64,
}

impl Trend {
    /// Whether the last visit is long ago.
    pub const fn is_stale(&self) -> bool {
        self.days_since > STALE_DAYS
    }

    /// The last visit against the median of those before, dB; `None` with fewer than two levels.
    pub fn change_db(&self) -> Option<f64> {
        let mut levels: Vec<f64> = self.points.iter().filter_map(|p| p.median_dbm).collect();
        let last = levels.pop()?;
        levels.sort_by(f64::total_cmp);
        let middle = levels.len() / 2;
        let usual = match levels.len() {
            0 => return None,
            n if n % 2 == 1 => levels[middle],
            _ => f64::midpoint(levels[middle - 1], levels[middle]),
        };
        Some(last - usual)
    }
}

/// The spots of all sites over their visits, seen from `today`.
pub fn trends(visits: &[Visit], today: NaiveDate) -> Vec<Trend> {
    let mut all = BTreeMap::<(String, String), Vec<Point>>::new();
    for visit in visits {
        let Some(date) = visit.date() else { continue };
        for spot in &visit.analysis.spots {
            let figures = Figures::of(spot);
            all.entry((visit.site.clone(), spot.shown_name().to_owned())).or_default().push(
                Point {
                    date,
                    median_dbm: figures.level.as_ref().map(|l| l.median),
                    registered_percent: figures.registered_percent,
                },
            );
        }
    }
    all.into_iter()
        .map(|((site, spot), mut points)| {
            points.sort_by_key(|p| p.date);
            let last = points.last().map_or(today, |p| p.date);
            Trend { site, spot, points, days_since: (today - last).num_days() }
        })
        .collect()
}

/// One line a spot; empty where no spot was visited twice and none is stale.
pub fn trends_text(trends: &[Trend]) -> String {
    let mut out = String::new();
    for trend in trends.iter().filter(|t| t.points.len() > 1 || t.is_stale()) {
        let Some((first, last)) = trend.points.first().zip(trend.points.last()) else { continue };
        let level =
            |p: &Point| p.median_dbm.map_or_else(|| "no level".into(), |l| format!("{l:.1} dBm"));
        let share = |p: &Point| percent_words(p.registered_percent);
        out.push_str(&format!("{}, {}: ", plain(&trend.site), plain(&trend.spot)));
        if trend.points.len() > 1 {
            out.push_str(&format!(
                "{} visits, {} ({}, registered {}) to {} ({}, registered {})",
                trend.points.len(),
                first.date,
                level(first),
                share(first),
                last.date,
                level(last),
                share(last)
            ));
            if let Some(change) = trend.change_db() {
                out.push_str(&format!("; the last one {change:+.1} dB against those before"));
            }
        } else {
            out.push_str(&format!("one visit, {} ({})", last.date, level(last)));
        }
        if trend.is_stale() {
            out.push_str(&format!("; not measured for {} days", trend.days_since));
        }
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::analysis::Analysis;
    use crate::survey::sample::tests_sample;

    #[test]
    fn a_site_is_followed_over_its_visits_and_a_stale_one_is_said() {
        let visit = |days: i64, level: f64| {
            let mut analysis = Analysis::default();
            let mut sample = tests_sample(1);
            sample.spot = "door".into();
            sample.at += chrono::TimeDelta::days(days);
            sample.levels.rsrp_dbm = Some(level);
            analysis.sample(&sample);
            Visit { path: "a".into(), site: "Weir".into(), analysis }
        };
        let visits = [visit(0, -90.0), visit(30, -92.0), visit(60, -97.0)];
        let today = visits[2].date().unwrap() + chrono::TimeDelta::days(200);
        let trends = trends(&visits, today);
        assert_eq!(trends[0].change_db(), Some(-6.0));
        assert_eq!(
            trends_text(&trends),
            "Weir, door: 3 visits, 2026-09-21 (-90.0 dBm, registered 100 %) to 2026-11-20 (-97.0 dBm, registered 100 %); the last one -6.0 dB against those before; not measured for 200 days\n"
        );
    }
}
