//! What the comparison of surveys finds, and what it leaves to chance.

use super::*;
use crate::random::Random;
use crate::survey::analysis::Analysis;
use crate::survey::reading::Source;
use crate::survey::sample::{Sample, tests_sample};
use crate::survey::simulate::{Pace, Place, Walker};
use chrono::TimeDelta;

fn visit(analysis: Analysis) -> Visit {
    Visit { path: "w.jsonl".into(), site: "Hut".into(), analysis }
}

fn analysed(seed: u64, loss: f64) -> Visit {
    let mut place = Place::parse(include_str!("../../../demo/walk/huts.toml")).unwrap();
    place.seed = seed;
    for mast in &mut place.mast {
        mast.rsrp_at_100m_dbm -= loss;
    }
    let mut walker = Walker::new(place, Pace::AtOnce);
    let mut analysis = Analysis::default();
    let mut number = 0;
    while let Some(reading) = walker.read().unwrap() {
        number += 1;
        analysis.sample(&Sample::of(reading, number, 1, None));
    }
    visit(analysis)
}

/// A minute of samples with some fading, each changed by `change`.
fn minute(change: impl Fn(u32, &mut Sample)) -> Visit {
    let mut analysis = Analysis::default();
    let mut sample = tests_sample(1);
    sample.cell.plmn = "00101".into();
    sample.cell.technology = "LTE".into();
    for n in 0..600 {
        let fading = f64::from(n * 7 % 40) / 10.0 - 2.0;
        sample.at += TimeDelta::milliseconds(100);
        let mut changed = sample.clone();
        changed.levels.rsrp_dbm = Some(-93.0 + fading);
        changed.levels.sinr_db = Some(15.0 + fading);
        change(n, &mut changed);
        analysis.sample(&changed);
    }
    visit(analysis)
}

fn with_branches(first: f64, second: Option<f64>) -> Visit {
    minute(|_, sample| {
        let level = sample.levels.rsrp_dbm.unwrap() + 93.0;
        sample.levels.rsrp_dbm = Some(first + level);
        sample.branches_dbm = vec![Some(first + level), second.map(|s| s + level)];
    })
}

fn found(before: &Visit, after: &Visit) -> Vec<Change> {
    let (before, after) = (std::slice::from_ref(before), std::slice::from_ref(after));
    surveys(before, after, Limits { between_db: Some(0.0), ..Limits::default() }).changes
}

#[test]
fn a_receive_branch_that_is_lost_or_weaker_is_said_by_its_port() {
    let before = with_branches(-93.0, Some(-95.0));
    assert_eq!(found(&before, &before), []);
    let weaker = found(&before, &with_branches(-93.0, Some(-104.0)));
    assert_eq!(weaker.len(), 1, "{weaker:?}");
    assert!(weaker[0].what.contains("branch 1, and not another, changed by -9.0 dB"), "{weaker:?}");
    let lost = found(&before, &with_branches(-93.0, None));
    assert!(lost[0].what.contains("branch 1 has no level"), "{lost:?}");
    // Both alike is the level's own change, said once.
    let both = found(&before, &with_branches(-103.0, Some(-105.0)));
    assert_eq!(both.len(), 1, "{both:?}");
}

#[test]
fn every_loss_is_found_and_a_lost_registration_comes_first() {
    let before = minute(|_, _| {});
    let worse = |after: &Visit| -> Vec<String> {
        found(&before, after)
            .into_iter()
            .filter(|c| c.worse == Some(true))
            .map(|c| c.what)
            .collect()
    };
    let searching = minute(|_, s| {
        (s.registration, s.levels) = (Some(2), crate::survey::sample::Levels::default());
    });
    assert!(
        worse(&searching)[0]
            .contains("registered 100 % of the time before, and never now (last state 2)")
    );
    let denied = minute(|_, s| s.registration = Some(3));
    assert!(worse(&denied)[0].contains("last state 3"));
    let seldom = minute(|n, s| {
        s.registration = Some(if n % 5 < 2 { 1 } else { 2 });
        s.levels.rsrp_dbm = Some(-110.0);
    });
    assert!(worse(&seldom)[0].contains("and 40.0 % now"), "{:?}", worse(&seldom));
    let noisy = minute(|_, s| s.levels.sinr_db = s.levels.sinr_db.map(|v| v - 15.0));
    assert!(worse(&noisy)[0].contains("the SINR changed by -15.0 dB"), "{:?}", worse(&noisy));
    let elsewhere = minute(|_, s| s.cell.plmn = "99901".into());
    assert!(worse(&elsewhere)[0].contains("network 00101 served, and now 99901"));
    let older = minute(|_, s| s.cell.technology = "GSM".into());
    assert!(worse(&older)[0].contains("LTE served, and now GSM"));
    assert_eq!(found(&before, &before), []);
}

#[test]
fn a_loss_at_the_antenna_is_found_at_every_spot_and_chance_at_few() {
    let before = analysed(1, 0.0);
    let level = |after: &Visit| {
        let changes = found(&before, after);
        changes
            .into_iter()
            .filter(|c| c.what.contains("the level"))
            .map(|c| c.what)
            .collect::<Vec<_>>()
    };
    assert_eq!(level(&analysed(2, 8.0)).len(), before.analysis.spots.len());
    assert!(level(&analysed(3, 0.0)).len() <= 1);
}

/// A visit to many spots whose levels vary by `between_db` from visit to visit.
fn fleet(random: &mut Random, spots: u32, median: f64, between_db: f64) -> Visit {
    let mut analysis = Analysis::default();
    let mut sample = tests_sample(1);
    for spot in 0..spots {
        let level = median + between_db * random.normal();
        sample.spot = format!("spot {spot}");
        for _ in 0..60 {
            sample.at += TimeDelta::seconds(1);
            sample.levels.rsrp_dbm = Some((level + 4.0 * random.normal()).round());
            analysis.sample(&sample);
        }
    }
    visit(analysis)
}

#[test]
fn what_varies_from_day_to_day_is_not_called_changed() {
    let mut random = Random::seeded(91);
    let (first, second) = (fleet(&mut random, 60, -95.0, 1.5), fleet(&mut random, 60, -95.0, 1.5));
    let run = |a: &Visit, b: &Visit| {
        surveys(std::slice::from_ref(a), std::slice::from_ref(b), Limits::default())
    };
    let unchanged = run(&first, &second);
    assert_eq!((unchanged.between_db, unchanged.from_visits), (1.5, None));
    assert!(unchanged.changes.len() <= 3, "{:?}", unchanged.changes);
    let lower = run(&first, &fleet(&mut random, 60, -103.0, 1.5));
    assert!(lower.changes.len() >= 48, "{} of 60", lower.changes.len());
}

#[test]
fn a_history_of_three_visits_tells_the_variation_itself() {
    let mut random = Random::seeded(92);
    let history: Vec<Visit> = (0..4)
        .map(|day| {
            let mut visit = fleet(&mut random, 30, -95.0, 3.0);
            visit.analysis.head.visit.date = chrono::NaiveDate::from_ymd_opt(2026, 5, 1 + day);
            visit
        })
        .collect();
    let now = fleet(&mut random, 30, -95.0, 3.0);
    let out = surveys(&history, std::slice::from_ref(&now), Limits::default());
    assert!((out.between_db - 3.0).abs() < 0.8, "{}", out.between_db);
    assert_eq!(out.from_visits, Some(4));
    assert!(out.changes.len() <= 2, "{:?}", out.changes);
}
