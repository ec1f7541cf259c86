//! What became of each site since an earlier run: new, worse, better, cured, weaker than its own history, or gone.

use super::fleet::{Fleet, Site, State};
use super::group::layer;

/// What became of a site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, strum::VariantArray)]
pub enum Change {
    /// It fails, and did not before, or was not known.
    New,
    /// It fails at a lower layer than before.
    Worse,
    /// It is connected, at a level clearly below its own history.
    Weaker,
    /// It fails at a higher layer than before.
    Better,
    /// It failed, and is connected now.
    Cured,
    /// It is as before, or it cannot be told.
    Same,
}

impl Change {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Worse => "worse",
            Self::Weaker => "weaker",
            Self::Better => "better",
            Self::Cured => "cured",
            Self::Same => "same",
        }
    }
}

/// A level this far below the median of a site's own history is more than fading, dB (common practice, no source).
const WEAKER_DB: f32 = 10.0;

/// A history of fewer levels says nothing about how much a site's level moves.
const ENOUGH: usize = 5;

/// What became of a site of `now` since `earlier`.
pub fn change(now: &Fleet, site: &Site, earlier: Option<&Fleet>) -> Change {
    let before = earlier.and_then(|fleet| Some((fleet, fleet.site(now.text(site.name))?)));
    let was = before.map(|(_, before)| before.state);
    match (was, site.state) {
        (Some(State::Failing { finding: was, .. }), State::Failing { finding: is, .. }) => {
            let fleet = before.map_or(now, |b| b.0);
            match layer(fleet.text(was)).cmp(&layer(now.text(is))) {
                std::cmp::Ordering::Greater => Change::Worse,
                std::cmp::Ordering::Less => Change::Better,
                std::cmp::Ordering::Equal => Change::Same,
            }
        }
        (_, State::Failing { .. }) if earlier.is_some() => Change::New,
        (Some(State::Failing { .. }), State::Connected) => Change::Cured,
        (_, State::Connected) if is_weaker(site, before.map(|b| b.1)) => Change::Weaker,
        _ => Change::Same,
    }
}

/// Whether the level lies below the site's own history by more than fading, and by more than it ever moved much.
fn is_weaker(site: &Site, before: Option<&Site>) -> bool {
    let mut levels = before.map_or_else(Vec::new, |b| b.levels_before().to_vec());
    levels.extend(before.and_then(|b| b.rsrp_dbm));
    levels.extend(site.levels_before());
    let Some(level) = site.rsrp_dbm.filter(|_| levels.len() >= ENOUGH) else { return false };
    let middle = median(&mut levels);
    let mut moved: Vec<f32> = levels.iter().map(|l| (l - middle).abs()).collect();
    // Three standard deviations, which are 1.4826 median deviations of a normal distribution.
    level < middle - WEAKER_DB.max(3.0 * 1.4826 * median(&mut moved))
}

fn median(values: &mut [f32]) -> f32 {
    values.sort_by(f32::total_cmp);
    let n = values.len();
    f32::midpoint(values[(n - 1) / 2], values[n / 2])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::triage::row::Row;

    fn fleet(rows: &[(&str, &str, f64)]) -> Fleet {
        let mut fleet = Fleet::default();
        for (site, finding, level) in rows {
            let mut row =
                Row { site: (*site).into(), finding: Some((*finding).into()), ..Row::default() };
            row.levels.insert("rsrp_dbm".into(), *level);
            fleet.add(row);
        }
        fleet
    }

    #[test]
    fn each_site_is_held_against_its_own_history() {
        let level = -90.0;
        let mut history: Vec<_> =
            (0..8).map(|n| ("far", "connected", level - f64::from(n % 3))).collect();
        history.extend([
            ("a", "connected", level),
            ("b", "bearer/apn-unknown", level),
            ("c", "card/failure", level),
            ("d", "radio/weak", level),
            ("e", "radio/weak", level),
        ]);
        let earlier = fleet(&history);
        let now = fleet(&[
            ("a", "radio/weak", level),
            ("b", "registration/denied", level),
            ("c", "registration/denied", level),
            ("d", "connected", level),
            ("e", "radio/weak", level),
            ("f", "radio/weak", level),
            ("far", "connected", -106.0),
        ]);
        let words: Vec<_> =
            now.sites.iter().map(|s| change(&now, s, Some(&earlier)).word()).collect();
        assert_eq!(words, ["new", "worse", "better", "cured", "same", "new", "weaker"]);
        assert!(now.sites.iter().all(|s| change(&now, s, None) == Change::Same));
    }
}
