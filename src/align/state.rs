//! What is known while an antenna is turned; events come in here, the screen only reads it.

use super::fit::{Fitted, fit};
use crate::survey::reading::Reading;
use crate::survey::sample::Cell;
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, VecDeque};

/// The best level so far.
#[derive(Clone, Debug, PartialEq)]
pub struct Best {
    /// The level, dBm.
    pub level_dbm: f64,
    /// The heading of the antenna, where known.
    pub heading_deg: Option<f64>,
}

/// Levels of the last while that make the trend.
const TREND: usize = 24;
/// Samples kept of one heading.
const KEPT: usize = 200;

/// The state of an alignment.
#[derive(Clone, Debug, Default)]
pub struct State {
    /// The latest reading.
    pub latest: Option<Reading>,
    /// The best level of the serving cell.
    pub best: Option<Best>,
    /// The last levels, oldest first.
    pub recent: VecDeque<f64>,
    /// Where the antenna looks now, as typed or stepped.
    pub heading_deg: Option<f64>,
    /// The cell before the latest change, and when it changed.
    pub changed: Option<(Cell, DateTime<Utc>)>,
    /// Levels by heading (whole degrees) of the serving cell.
    pub by_heading: BTreeMap<u16, Vec<f64>>,
    /// The direction that fits.
    pub fitted: Option<Fitted>,
    /// What went wrong with the last reading.
    pub trouble: Option<String>,
}

impl State {
    /// Takes a reading.
    pub fn take(&mut self, reading: Reading) {
        self.trouble = None;
        let other_cell = self.latest.as_ref().is_some_and(|before| {
            !before.cell.is_unknown()
                && !reading.cell.is_unknown()
                && !before.cell.may_be(&reading.cell)
        });
        if other_cell {
            // Numbers of another mast say nothing of this one: all begins anew, and is said so.
            let before = self.latest.as_ref().map(|l| l.cell.clone()).unwrap_or_default();
            self.changed = Some((before, reading.at));
            self.best = None;
            self.recent.clear();
            self.by_heading.clear();
            self.fitted = None;
        }
        let heading = reading.heading_deg.or(self.heading_deg);
        if let Some(level) = reading.levels.rsrp_dbm {
            if self.best.as_ref().is_none_or(|b| level > b.level_dbm) {
                self.best = Some(Best { level_dbm: level, heading_deg: heading });
            }
            self.recent.push_back(level);
            if self.recent.len() > TREND {
                self.recent.pop_front();
            }
            if let Some(heading) = heading {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 360"
                )]
                let whole = heading.rem_euclid(360.0).round() as u16 % 360;
                let levels = self.by_heading.entry(whole).or_default();
                if levels.len() < KEPT {
                    levels.push(level);
                }
            }
        }
        if heading.is_some() {
            self.heading_deg = heading;
        }
        self.latest = Some(reading);
    }

    /// The median levels by heading.
    pub fn medians(&self) -> Vec<(f64, f64)> {
        self.by_heading
            .iter()
            .filter(|(_, levels)| !levels.is_empty())
            .map(|(heading, levels)| {
                let mut sorted = levels.clone();
                sorted.sort_by(f64::total_cmp);
                (f64::from(*heading), sorted[sorted.len() / 2])
            })
            .collect()
    }

    /// Turns the antenna to a heading, as the person says; the direction is fitted anew.
    pub fn turn(&mut self, heading_deg: f64) {
        self.heading_deg = Some(heading_deg.rem_euclid(360.0));
        self.fitted = fit(&self.medians());
    }

    /// The change of the level over the last while, dB: the later half against the earlier one.
    pub fn trend_db(&self) -> Option<f64> {
        let half = self.recent.len() / 2;
        if half < 3 {
            return None;
        }
        let mean = |levels: &mut dyn Iterator<Item = &f64>| {
            let (sum, n) = levels.fold((0.0, 0.0), |(s, n), l| (s + l, n + 1.0));
            sum / n
        };
        Some(mean(&mut self.recent.iter().skip(half)) - mean(&mut self.recent.iter().take(half)))
    }

    /// How old the shown number is at `now`, seconds: since the answer, and half of what it took.
    pub fn age_s(&self, now: DateTime<Utc>) -> Option<f64> {
        let latest = self.latest.as_ref()?;
        let since = (now - latest.at).num_milliseconds() as f64 / 1000.0;
        Some(since.max(0.0) + latest.took.as_secs_f64() / 2.0)
    }

    /// How far to turn to the best heading so far, degrees, clockwise; `None` where either heading is not known.
    pub fn turn_to_best_deg(&self) -> Option<f64> {
        let best = self.best.as_ref()?.heading_deg?;
        let off = best - self.heading_deg?;
        Some((off + 180.0).rem_euclid(360.0) - 180.0)
    }

    /// The same in words; empty where it is not known.
    pub fn turn_words(&self) -> String {
        match self.turn_to_best_deg() {
            None => String::new(),
            Some(off) if off.abs() < 1.0 => "at the best".into(),
            Some(off) => format!("{:.0}° {}", off.abs(), if off > 0.0 { "right" } else { "left" }),
        }
    }

    /// The pause between two tones for a level, ms: the better the shorter.
    pub fn tone_pause_ms(level: f64) -> u64 {
        let share = ((level + 120.0) / 60.0).clamp(0.0, 1.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "120 to 1500")]
        let pause = (1500.0 - share * 1380.0) as u64;
        pause
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_to_the_best_heading_is_the_short_one() {
        let at = |heading, best| State {
            heading_deg: Some(heading),
            best: Some(Best { level_dbm: -80.0, heading_deg: Some(best) }),
            ..State::default()
        };
        assert_eq!(at(350.0, 20.0).turn_words(), "30° right");
        assert_eq!(at(20.0, 350.0).turn_words(), "30° left");
        assert_eq!(at(20.0, 20.0).turn_words(), "at the best");
        assert_eq!(State::default().turn_words(), "");
    }
}
