//! The direction of a mast from levels at headings: the pattern of a directional antenna, fitted.
//!
//! Pattern: `peak - min(12 (φ/φ₃)², A)` dB (TR 36.942 §4.2.1, clause from memory). The direction's
//! bounds are those at which the fit is worse than chance allows (profile of the squared residuals,
//! F distribution with the headings that are not used up by the fit).

use crate::statistics::student_quantile;

/// A fitted direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Degrees from north, clockwise.
    pub direction_deg: f64,
    /// The 95 % bounds: degrees to the left and to the right.
    pub uncertainty_deg: (f64, f64),
    /// Level at the direction, dBm.
    pub peak_dbm: f64,
    /// Width at half power, degrees.
    pub beamwidth_deg: f64,
    /// Front-to-back ratio, dB.
    pub front_to_back_db: f64,
}

impl Fitted {
    /// The fitted level at a heading, dBm.
    pub fn level(&self, heading_deg: f64) -> f64 {
        self.peak_dbm
            - loss(heading_deg - self.direction_deg, self.beamwidth_deg, self.front_to_back_db)
    }
}

/// Headings at least for a fit: it has four unknowns.
const LEAST: usize = 7;

fn loss(off_deg: f64, beamwidth_deg: f64, front_to_back_db: f64) -> f64 {
    let off = (off_deg + 180.0).rem_euclid(360.0) - 180.0;
    (12.0 * (off / beamwidth_deg).powi(2)).min(front_to_back_db)
}

/// Fits the pattern to levels in dBm at headings in degrees; `None` with too few headings, or where
/// all headings look alike.
pub fn fit(by_heading: &[(f64, f64)]) -> Option<Fitted> {
    if by_heading.len() < LEAST {
        return None;
    }
    // For each direction, the best of the other three: the peak follows, two are searched.
    let at = |direction: f64| -> (f64, f64, f64, f64) {
        let mut best = (f64::MAX, 0.0, 0.0, 0.0);
        for width in (20..=120).step_by(10).map(f64::from) {
            for back in (6..=30).step_by(4).map(f64::from) {
                let losses: Vec<f64> =
                    by_heading.iter().map(|(h, _)| loss(h - direction, width, back)).collect();
                let peak =
                    by_heading.iter().zip(&losses).map(|((_, l), loss)| l + loss).sum::<f64>()
                        / by_heading.len() as f64;
                let sse = by_heading
                    .iter()
                    .zip(&losses)
                    .map(|((_, l), loss)| (l + loss - peak).powi(2))
                    .sum::<f64>();
                if sse < best.0 {
                    best = (sse, peak, width, back);
                }
            }
        }
        best
    };
    let profile: Vec<(f64, (f64, f64, f64, f64))> =
        (0..360).map(|d| (f64::from(d), at(f64::from(d)))).collect();
    let (direction, (sse, peak, width, back)) =
        *profile.iter().min_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    let free = (by_heading.len() - 4) as f64;
    // A modem rounds to whole dB: residuals below that are luck.
    let variance = (sse / free).max(1.0 / 12.0);
    let allowed = sse + variance * student_quantile(0.975, free).powi(2);
    let mean = by_heading.iter().map(|(_, l)| l).sum::<f64>() / by_heading.len() as f64;
    let flat = by_heading.iter().map(|(_, l)| (l - mean).powi(2)).sum::<f64>();
    if flat <= allowed {
        return None;
    }
    let reach = |sign: f64| {
        (1..180).map(f64::from).find(|off| {
            let index = (direction + sign * off).rem_euclid(360.0);
            profile
                .iter()
                .find(|(d, _)| (d - index).abs() < 0.5)
                .is_some_and(|(_, fit)| fit.0 > allowed)
        })
    };
    Some(Fitted {
        direction_deg: direction,
        uncertainty_deg: (reach(-1.0).unwrap_or(180.0), reach(1.0).unwrap_or(180.0)),
        peak_dbm: peak,
        beamwidth_deg: width,
        front_to_back_db: back,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::reading::Source;
    use crate::survey::sample::Position;
    use crate::survey::simulate::{Pace, Place, Walker};
    use std::collections::BTreeMap;

    /// 200 seeded sweeps of the simulated antenna: the stated bounds hold the true direction.
    #[test]
    fn the_bounds_hold_the_true_direction_in_nearly_all_sweeps() {
        let text = std::fs::read_to_string(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/demo/sweep/hut-antenna.toml"
        ))
        .unwrap();
        let place = Place::parse(&text).unwrap();
        let hut = place.sweep.unwrap().at;
        let point = |at: [f64; 2]| Position {
            latitude: at[0],
            longitude: at[1],
            altitude_m: None,
            accuracy_m: None,
        };
        let mut held = 0;
        let mut fitted = 0;
        let mut widest: f64 = 0.0;
        for seed in 0..200 {
            let mut place = place.clone();
            place.seed = seed;
            let truth: Vec<f64> =
                place.mast.iter().map(|m| point(hut).bearing_to(point(m.at))).collect();
            let pcis: Vec<u32> = place.mast.iter().map(|m| m.pci).collect();
            let mut walker = Walker::new(place, Pace::AtOnce);
            let mut by_cell: BTreeMap<u32, BTreeMap<u32, Vec<f64>>> = BTreeMap::new();
            while let Some(reading) = walker.read().unwrap() {
                let (Some(level), Some(heading), Some(pci)) =
                    (reading.levels.rsrp_dbm, reading.heading_deg, reading.cell.pci)
                else {
                    continue;
                };
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "0 to 360"
                )]
                by_cell
                    .entry(pci)
                    .or_default()
                    .entry(heading.round() as u32)
                    .or_default()
                    .push(level);
            }
            let (pci, turns) = by_cell
                .into_iter()
                .max_by_key(|(_, t)| t.values().map(Vec::len).sum::<usize>())
                .unwrap();
            let by_heading: Vec<(f64, f64)> = turns
                .into_iter()
                .filter(|(_, l)| l.len() >= 5)
                .map(|(h, mut l)| {
                    l.sort_by(f64::total_cmp);
                    (f64::from(h), l[l.len() / 2])
                })
                .collect();
            let Some(f) = fit(&by_heading) else { continue };
            fitted += 1;
            let true_deg = truth[pcis.iter().position(|p| *p == pci).unwrap()];
            let off = (true_deg - f.direction_deg + 180.0).rem_euclid(360.0) - 180.0;
            widest = widest.max(f.uncertainty_deg.0 + f.uncertainty_deg.1);
            held += usize::from(off >= -f.uncertainty_deg.0 && off <= f.uncertainty_deg.1);
        }
        assert!(fitted >= 190, "{fitted} fitted");
        assert!(held * 100 >= fitted * 95, "{held} of {fitted}, widest {widest}");
    }

    #[test]
    fn levels_that_look_alike_give_no_direction() {
        let by_heading: Vec<(f64, f64)> =
            (0..36).map(|i| (f64::from(i) * 10.0, -95.0 + f64::from(i % 2))).collect();
        assert_eq!(fit(&by_heading), None);
        assert_eq!(fit(&[(0.0, -90.0)]), None);
    }
}
