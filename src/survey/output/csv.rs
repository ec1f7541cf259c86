//! One row a spot and cell, with a header that names units, for spreadsheets: no field begins a formula.

use super::figures::median;
use super::{field, rows_as_csv};
use crate::survey::spot::{CellSeries, Spot};
use crate::survey::visits::Visit;
use serde::Serialize;

/// The columns; those up to `limit` are of the first form and keep their order.
#[derive(Debug, Default, Serialize)]
struct Row {
    spot: String,
    latitude_deg: Option<String>,
    longitude_deg: Option<String>,
    accuracy_m: Option<String>,
    technology: String,
    plmn: String,
    band: Option<u32>,
    channel: Option<u32>,
    pci: Option<u32>,
    cell_id: Option<u64>,
    samples: u64,
    effective_samples: Option<String>,
    rsrp_median_dbm: Option<String>,
    rsrp_low_dbm: Option<String>,
    rsrp_high_dbm: Option<String>,
    rsrp_p10_dbm: Option<String>,
    rsrp_p90_dbm: Option<String>,
    rsrp_power_mean_dbm: Option<String>,
    fading_db: Option<String>,
    rsrq_median_db: Option<String>,
    sinr_median_db: Option<String>,
    branch_best_dbm: Option<String>,
    branch_weakest_dbm: Option<String>,
    limit: &'static str,
    registered_percent: Option<String>,
    spot_samples: u64,
    unregistered_samples: u64,
    effective_low: Option<String>,
    effective_high: Option<String>,
    too_short: bool,
    site: String,
    visit: String,
    first_utc: String,
    last_utc: String,
    passes: String,
    simulated: bool,
}

fn tenth(value: Option<f64>) -> Option<String> {
    value.filter(|v| v.is_finite()).map(|v| format!("{v:.1}"))
}

fn whole(value: Option<f64>) -> Option<String> {
    value.filter(|v| v.is_finite()).map(|v| format!("{v:.0}"))
}

/// The spots of all visits; a spot without any cell has a row of its own.
pub fn csv(visits: &[Visit]) -> String {
    let mut rows = Vec::new();
    for visit in visits {
        for spot in &visit.analysis.spots {
            if spot.cells.is_empty() {
                rows.push(row(visit, spot, None));
            }
            rows.extend(spot.cells.iter().map(|cell| row(visit, spot, Some(cell))));
        }
    }
    if rows.is_empty() {
        // The header stands there without spots, too.
        let text = rows_as_csv([Row::default()]);
        return text.lines().take(1).map(|header| format!("{header}\r\n")).collect();
    }
    rows_as_csv(rows)
}

fn row(visit: &Visit, spot: &Spot, cell: Option<&CellSeries>) -> Row {
    let place = spot.position();
    let known = cell.map(|c| &c.cell);
    let level = cell.and_then(CellSeries::level);
    let level = level.as_ref();
    let bounds = level.and_then(|l| l.median_interval);
    let effective = level.and_then(|l| l.effective);
    let branches = cell.and_then(CellSeries::receive_branch_medians);
    let moment = |at: Option<chrono::DateTime<chrono::Utc>>| {
        at.map_or_else(String::new, |at| at.format("%Y-%m-%dT%H:%M:%SZ").to_string())
    };
    Row {
        spot: field(&spot.name),
        latitude_deg: place.map(|p| format!("{:.6}", p.latitude)),
        longitude_deg: place.map(|p| format!("{:.6}", p.longitude)),
        accuracy_m: tenth(place.and_then(|p| p.accuracy_m)),
        technology: known.map_or_else(String::new, |c| field(&c.technology)),
        plmn: known.map_or_else(String::new, |c| field(&c.plmn)),
        band: known.and_then(|c| c.band),
        channel: known.and_then(|c| c.channel),
        pci: known.and_then(|c| c.pci),
        cell_id: known.and_then(|c| c.cell_id),
        samples: cell.map_or(0, |c| c.rsrp.count()),
        effective_samples: whole(effective.map(|n| n.count)),
        rsrp_median_dbm: tenth(level.map(|l| l.median)),
        rsrp_low_dbm: tenth(bounds.map(|i| i.low)),
        rsrp_high_dbm: tenth(bounds.map(|i| i.high)),
        rsrp_p10_dbm: tenth(level.map(|l| l.p10)),
        rsrp_p90_dbm: tenth(level.map(|l| l.p90)),
        rsrp_power_mean_dbm: tenth(level.map(|l| l.linear_average)),
        fading_db: tenth(level.map(|l| l.fading_db)),
        rsrq_median_db: tenth(cell.and_then(|c| median(&c.rsrq))),
        sinr_median_db: tenth(cell.and_then(|c| median(&c.sinr))),
        branch_best_dbm: tenth(branches.map(|b| b[0].1)),
        branch_weakest_dbm: tenth(branches.map(|b| b[1].1)),
        limit: cell.map_or("no registered sample", |c| c.limit().words()),
        registered_percent: tenth(spot.registered_percent()),
        spot_samples: spot.samples,
        unregistered_samples: spot.unregistered,
        effective_low: whole(effective.map(|n| n.low)),
        effective_high: whole(effective.map(|n| n.high)),
        too_short: bounds.is_none(),
        site: field(&visit.site),
        visit: visit.date().map_or_else(String::new, |d| d.to_string()),
        first_utc: moment(visit.analysis.time.map(|t| t.0)),
        last_utc: moment(visit.analysis.time.map(|t| t.1)),
        passes: spot.passes.iter().map(u32::to_string).collect::<Vec<_>>().join(" "),
        simulated: visit.analysis.head.rehearsal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::analysis::Analysis;
    use crate::survey::sample::tests_sample;

    #[test]
    fn a_spot_without_registration_has_a_row_and_network_codes_stay_text() {
        let mut analysis = Analysis::default();
        let mut sample = tests_sample(1);
        (sample.spot, sample.registration) = ("cellar".into(), Some(2));
        analysis.sample(&sample);
        (sample.spot, sample.registration) = ("roof".into(), Some(1));
        sample.cell.plmn = "00101".into();
        analysis.sample(&sample);
        let visit = Visit { path: "w.jsonl".into(), site: "Hut".into(), analysis };
        let text = csv(&[visit]);
        let mut reader = ::csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().clone();
        let at = |name: &str| header.iter().position(|h| h == name).unwrap();
        let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
        assert_eq!((&rows[0][at("spot")], &rows[0][at("registered_percent")]), ("cellar", "0.0"));
        assert_eq!(
            (&rows[0][at("unregistered_samples")], &rows[0][at("rsrp_median_dbm")]),
            ("1", "")
        );
        assert_eq!((&rows[1][at("plmn")], &rows[1][at("visit")]), ("00101", "2026-09-21"));
        assert!(csv(&[]).starts_with("spot,latitude_deg,"));
    }
}
