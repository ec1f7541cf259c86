//! The latest visit of every spot against its earlier ones: registration, network, cell, then levels.
//!
//! Levels of one place vary from visit to visit without any cause. That variation is estimated from the site's own
//! history where there are enough visits, else a stated default stands for it, and it widens the bounds. Over all
//! comparisons of a run false alarms are controlled.

use super::{Change, HIGHER, LOWER, OTHER_NETWORK};
use crate::statistics::{
    Difference, FALSE_ALARMS, Series, difference, discoveries, spread, student_cdf,
    student_quantile,
};
use crate::survey::reading::is_registered;
use crate::survey::spot::{CellSeries, Spot};
use crate::survey::visits::Visit;
use std::collections::BTreeMap;

/// One of the series of a cell.
type SeriesOf = fn(&CellSeries) -> &Series;

/// What counts as a change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The smallest change of a level that matters, dB.
    pub smallest_db: f64,
    /// What levels vary between visits (standard deviation), dB; `None` to take it from the sites' own history.
    pub between_db: Option<f64>,
}

impl Default for Limits {
    fn default() -> Self {
        Self { smallest_db: 3.0, between_db: None }
    }
}

/// The variation between visits where no history tells it, dB (common practice, no source).
const BETWEEN_DB: f64 = 1.5;

/// A registered share that fell by less, in points of a hundred, is a passing loss.
const LOST_POINTS: f64 = 1.0;

/// What was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Compared {
    /// The changes, loss of registration first.
    pub changes: Vec<Change>,
    /// Spots whose levels were measured too shortly to compare.
    pub too_short: Vec<String>,
    /// Comparisons of levels that were made.
    pub comparisons: usize,
    /// The variation between visits that was reckoned with, dB.
    pub between_db: f64,
    /// From how many visits of the sites' own history it was estimated; `None` where it was given or the default.
    pub from_visits: Option<usize>,
    /// Whether any of the samples came from a simulated place.
    pub simulated: bool,
}

/// One spot: its name for a reader, its earlier visits and the latest one.
struct Pair<'a> {
    name: String,
    before: Vec<&'a Spot>,
    now: &'a Spot,
}

/// The variation between visits: variance in dB², and the degrees of freedom that it is known with.
#[derive(Clone, Copy)]
struct Between {
    variance_db2: f64,
    df: f64,
}

/// Compares the latest visit of each site with those before; sites are matched by their names.
pub fn surveys(before: &[Visit], after: &[Visit], limits: Limits) -> Compared {
    let mut out = Compared {
        simulated: before.iter().chain(after).any(|v| v.analysis.head.rehearsal),
        ..Compared::default()
    };
    let names: std::collections::BTreeSet<&str> = before.iter().map(|v| v.site.as_str()).collect();
    let alone = names.len() == 1
        && after.iter().map(|v| v.site.as_str()).collect::<std::collections::BTreeSet<_>>().len()
            == 1;
    let mut sites = BTreeMap::<&str, (Vec<&Visit>, Option<&Visit>)>::new();
    for visit in before {
        sites.entry(if alone { "" } else { &visit.site }).or_default().0.push(visit);
    }
    for visit in after {
        let site = sites.entry(if alone { "" } else { &visit.site }).or_default();
        if site.1.is_none_or(|latest| latest.begins() <= visit.begins()) {
            site.1 = Some(visit);
        }
    }
    let mut pairs = Vec::new();
    for (site, (history, latest)) in &sites {
        let prefix = if site.is_empty() { String::new() } else { format!("{site}, ") };
        match latest {
            _ if history.is_empty() => {}
            None => out
                .changes
                .push(other(format!("{site} is not in the later surveys"), "it was left out")),
            Some(latest) => pair(&prefix, history, latest, &mut pairs, &mut out),
        }
    }
    for p in &pairs {
        registration(p, &mut out.changes);
    }
    // A lost registration comes before everything else.
    out.changes.sort_by_key(|c| c.worse != Some(true));
    for p in &pairs {
        serving(p, &mut out.changes);
    }
    levels(&pairs, limits, &mut out);
    out
}

fn pair<'a>(
    prefix: &str,
    history: &[&'a Visit],
    latest: &'a Visit,
    pairs: &mut Vec<Pair<'a>>,
    out: &mut Compared,
) {
    let mut seen = std::collections::BTreeSet::new();
    for spot in history.iter().flat_map(|v| &v.analysis.spots) {
        if !seen.insert(&spot.name) {
            continue;
        }
        let name = format!("{prefix}{}", spot.shown_name());
        match latest.analysis.named(&spot.name) {
            None => out
                .changes
                .push(other(format!("{name}: not in the later survey"), "it was left out")),
            Some(now) => pairs.push(Pair {
                name,
                before: history.iter().filter_map(|v| v.analysis.named(&spot.name)).collect(),
                now,
            }),
        }
    }
}

fn other(what: String, reason: &'static str) -> Change {
    Change { worse: None, what, reason }
}

/// Whether the registration was lost, or is there less of the time.
fn registration(p: &Pair<'_>, changes: &mut Vec<Change>) {
    const LOST: &str = "the subscription, the network, the antenna line or the modem: `mastside examine` tells them apart";
    let Some(before) = p.before.last() else { return };
    let name = &p.name;
    let states = |stat: Option<u8>| stat.map_or_else(String::new, |s| format!(" (last state {s})"));
    let mut worse = |what: String| changes.push(Change { worse: Some(true), what, reason: LOST });
    match (before.registered_percent(), p.now.registered_percent()) {
        (Some(was), Some(is)) if is <= 0.0 && was > 0.0 => worse(format!(
            "{name}: registered {was:.0} % of the time before, and never now{}",
            states(p.now.last_state)
        )),
        (Some(was), Some(is)) if is < was - LOST_POINTS => {
            worse(format!("{name}: registered {was:.1} % of the time before, and {is:.1} % now"));
        }
        (_, _)
            if before.last_state.is_some_and(is_registered)
                && p.now.last_state.is_some_and(|s| !is_registered(s)) =>
        {
            worse(format!(
                "{name}: not registered any more at the end{}",
                states(p.now.last_state)
            ));
        }
        (Some(was), Some(is)) if is > was + LOST_POINTS => changes.push(Change {
            worse: Some(false),
            what: format!("{name}: registered {was:.1} % of the time before, and {is:.1} % now"),
            reason: HIGHER,
        }),
        _ if before.used.rsrp.count() > 0 && p.now.used.rsrp.count() == 0 => {
            worse(format!("{name}: no level is measured any more"));
        }
        _ => {}
    }
}

/// Another network, technology, band or cell.
fn serving(p: &Pair<'_>, changes: &mut Vec<Change>) {
    let Some(before) = p.before.last() else { return };
    let (Some(was), Some(is)) = (before.main(), p.now.main()) else { return };
    let name = &p.name;
    let (old, new) = (before.network(), p.now.network());
    if !old.is_empty() && !new.is_empty() && old != new {
        changes.push(Change {
            worse: Some(true),
            what: format!("{name}: network {old} served, and now {new}"),
            reason: OTHER_NETWORK,
        });
    }
    if before.roaming == 0 && p.now.roaming > 0 {
        changes.push(Change {
            worse: Some(true),
            what: format!("{name}: roaming, and was not before"),
            reason: OTHER_NETWORK,
        });
    }
    let (old, new) = (was.cell.technology.as_str(), is.cell.technology.as_str());
    if !old.is_empty() && !new.is_empty() && old != new {
        let rank = |t: &str| ["GSM", "UMTS", "LTE", "5G NR"].iter().position(|known| *known == t);
        changes.push(Change {
            worse: rank(old).zip(rank(new)).map(|(old, new)| new < old),
            what: format!("{name}: {old} served, and now {new}"),
            reason: "a cell is off, or the modem was set to other technologies",
        });
    }
    if !was.cell.may_be(&is.cell) {
        changes.push(other(
            format!("{name}: {} served, and now {}", was.cell, is.cell),
            "a mast is off, or the antenna was turned",
        ));
    }
}

/// A level that was compared.
struct Tested<'a> {
    pair: &'a Pair<'a>,
    what: String,
    reason: Option<&'static str>,
    difference: Difference,
}

fn levels(pairs: &[Pair<'_>], limits: Limits, out: &mut Compared) {
    let (between, from_visits) = match limits.between_db {
        Some(given) => (Between { variance_db2: given * given, df: 1e6 }, None),
        None => from_history(pairs).map_or(
            (Between { variance_db2: BETWEEN_DB * BETWEEN_DB, df: 1e6 }, None),
            |(between, visits)| (between, Some(visits)),
        ),
    };
    (out.between_db, out.from_visits) = (between.variance_db2.sqrt(), from_visits);
    let mut tested = Vec::new();
    for p in pairs {
        let quantities: [(&str, SeriesOf); 3] =
            [("level", |c| &c.rsrp), ("SINR", |c| &c.sinr), ("quality (RSRQ)", |c| &c.rsrq)];
        for (what, series) in quantities {
            let now = series(&p.now.used);
            let before: Vec<_> =
                p.before.iter().map(|s| series(&s.used)).filter(|s| s.count() > 0).collect();
            if before.is_empty() || now.count() == 0 {
                continue;
            }
            match against(now, &before, between) {
                Some(difference) => {
                    tested.push(Tested { pair: p, what: what.into(), reason: None, difference });
                }
                None if what == "level" => out.too_short.push(p.name.clone()),
                None => {}
            }
        }
        receive_branches(p, between, &mut tested, &mut out.changes);
    }
    out.comparisons = tested.len();
    let chances: Vec<f64> = tested.iter().map(|t| t.difference.chance).collect();
    for (t, found) in tested.iter().zip(discoveries(&chances, FALSE_ALARMS)) {
        let d = &t.difference;
        let reaches = d.low_db <= -limits.smallest_db || d.high_db >= limits.smallest_db;
        if !(found && reaches) {
            continue;
        }
        let worse = d.shift_db < 0.0;
        let usual = if t.pair.before.len() > 1 { " against the visits before" } else { "" };
        out.changes.push(Change {
            worse: Some(worse),
            what: format!(
                "{}: the {} changed by {:+.1} dB{usual} (95 % bounds {:+.1} to {:+.1} dB)",
                t.pair.name, t.what, d.shift_db, d.low_db, d.high_db
            ),
            reason: t.reason.unwrap_or(if worse { LOWER } else { HIGHER }),
        });
    }
}

/// The latest series against the earlier ones, with the variation between visits.
fn against(now: &Series, before: &[&Series], between: Between) -> Option<Difference> {
    if let [only] = before {
        return difference(now, only)
            .map(|d| d.with_variance(2.0 * between.variance_db2, between.df));
    }
    let latest = Middle::of(now)?;
    let earlier: Vec<Middle> = before.iter().filter_map(|s| Middle::of(s)).collect();
    let visits = earlier.len() as f64;
    if earlier.is_empty() {
        return None;
    }
    let usual = earlier.iter().map(|m| m.median).sum::<f64>() / visits;
    let own = latest.variance;
    let others = earlier.iter().map(|m| m.variance).sum::<f64>() / (visits * visits);
    let varied = between.variance_db2 * (1.0 + 1.0 / visits);
    let all = (own + others + varied).max(1e-9);
    let df = all.powi(2)
        / (own.powi(2) / MEDIAN_DF
            + others.powi(2) / (MEDIAN_DF * visits)
            + varied.powi(2) / between.df)
            .max(1e-12);
    let shift = latest.median - usual;
    let half = student_quantile(0.975, df) * all.sqrt();
    Some(Difference {
        shift_db: shift,
        low_db: shift - half,
        high_db: shift + half,
        above: if shift > 0.0 { 1.0 } else { 0.0 },
        chance: 2.0 * (1.0 - student_cdf(shift.abs() / all.sqrt(), df)),
        df,
    })
}

/// The degrees of freedom of a median's bounds.
const MEDIAN_DF: f64 = 6.0;

/// A median and its variance, dB².
struct Middle {
    median: f64,
    variance: f64,
}

impl Middle {
    fn of(series: &Series) -> Option<Self> {
        let figures = spread(series)?;
        let half = figures.median_interval?.width() / 2.0;
        let variance = (half / student_quantile(0.975, MEDIAN_DF)).powi(2);
        Some(Self { median: figures.median, variance })
    }
}

/// The variation between visits from spots that were visited three times or more, the latest left out where that
/// leaves enough; with the number of visits that it is from.
fn from_history(pairs: &[Pair<'_>]) -> Option<(Between, usize)> {
    let (mut squares, mut df, mut visits) = (0.0, 0.0, 0);
    for p in pairs {
        let earlier: Vec<Middle> =
            p.before.iter().filter_map(|s| Middle::of(&s.used.rsrp)).collect();
        if earlier.len() < 3 {
            continue;
        }
        let n = earlier.len() as f64;
        let mean = earlier.iter().map(|m| m.median).sum::<f64>() / n;
        let within = earlier.iter().map(|m| m.variance).sum::<f64>() / n;
        squares +=
            earlier.iter().map(|m| (m.median - mean).powi(2)).sum::<f64>() - (n - 1.0) * within;
        df += n - 1.0;
        visits = visits.max(earlier.len());
    }
    (df >= 2.0).then(|| (Between { variance_db2: (squares / df).max(0.0), df }, visits))
}

/// Receive branches that fell silent, and those that changed where others did not.
fn receive_branches<'a>(
    p: &'a Pair<'a>,
    between: Between,
    tested: &mut Vec<Tested<'a>>,
    changes: &mut Vec<Change>,
) {
    const ONE_FEED: &str = "the cable, connector or antenna of that branch alone";
    let Some(before) = p.before.last() else { return };
    let (was, is) = (before.used.receiving(), p.now.used.receiving());
    if is.is_empty() {
        return;
    }
    let mut moved = Vec::new();
    for (port, series) in &was {
        match is.iter().find(|(p, _)| p == port) {
            None => changes.push(Change {
                worse: Some(true),
                what: format!("{}: receive branch {port} has no level any more", p.name),
                reason: ONE_FEED,
            }),
            Some((_, now)) => moved.extend(difference(now, series).map(|d| (*port, d))),
        }
    }
    let still = moved.iter().any(|(_, d)| !d.is_shown());
    for (port, d) in moved.into_iter().filter(|(_, d)| still && d.is_shown()) {
        tested.push(Tested {
            pair: p,
            what: format!("receive branch {port}, and not another,"),
            reason: Some(ONE_FEED),
            difference: d.with_variance(2.0 * between.variance_db2, between.df),
        });
    }
}

#[cfg(test)]
mod tests;
