//! Comma-separated values (RFC 4180), safe for spreadsheets: no field begins a formula.

use crate::survey::analysis::Analysis;
use std::fmt::Write;

/// A field that no spreadsheet takes for a formula: text that begins as one gets an apostrophe.
/// Numbers stay numbers.
pub fn cell_text(text: &str) -> String {
    let number = text.parse::<f64>().is_ok();
    let formula = !number && text.trim_start().starts_with(['=', '+', '-', '@', '|', '%']);
    let shown: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let shown = if formula { format!("'{shown}") } else { shown };
    if shown.contains([',', '"', '\n', '\r', ';']) || shown != shown.trim() {
        format!("\"{}\"", shown.replace('"', "\"\""))
    } else {
        shown
    }
}

/// One row a spot and cell, with a header that names units.
pub fn csv(analysis: &Analysis) -> String {
    let mut out = String::from(
        "spot,latitude_deg,longitude_deg,accuracy_m,technology,plmn,band,channel,pci,cell_id,samples,effective_samples,\
         rsrp_median_dbm,rsrp_low_dbm,rsrp_high_dbm,rsrp_p10_dbm,rsrp_p90_dbm,rsrp_power_mean_dbm,fading_db,rsrq_median_db,sinr_median_db,branch_best_dbm,branch_weakest_dbm,limit\r\n",
    );
    let number = |n: Option<f64>| {
        n.filter(|n| n.is_finite()).map_or_else(String::new, |n| format!("{n:.1}"))
    };
    for spot in &analysis.spots {
        let place = spot.position();
        for cell in &spot.cells {
            let level = cell.level();
            let branches = cell.receive_branch_medians();
            let median = |s: &crate::statistics::Series| {
                (s.count() > 0).then(|| s.distribution().quantile(0.5))
            };
            let whole = |n: Option<u64>| n.map_or_else(String::new, |n| n.to_string());
            let fields = [
                cell_text(&spot.name),
                place.map_or_else(String::new, |p| format!("{:.6}", p.latitude)),
                place.map_or_else(String::new, |p| format!("{:.6}", p.longitude)),
                number(place.and_then(|p| p.accuracy_m)),
                cell_text(&cell.cell.technology),
                cell_text(&cell.cell.plmn),
                whole(cell.cell.band.map(u64::from)),
                whole(cell.cell.channel.map(u64::from)),
                whole(cell.cell.pci.map(u64::from)),
                whole(cell.cell.cell_id),
                cell.rsrp.count().to_string(),
                number(level.as_ref().and_then(|l| l.effective).map(|n| n.count)),
                number(level.as_ref().map(|l| l.median)),
                number(level.as_ref().and_then(|l| l.median_interval).map(|i| i.low)),
                number(level.as_ref().and_then(|l| l.median_interval).map(|i| i.high)),
                number(level.as_ref().map(|l| l.p10)),
                number(level.as_ref().map(|l| l.p90)),
                number(level.as_ref().map(|l| l.linear_average)),
                number(level.as_ref().map(|l| l.fading_db)),
                number(median(&cell.rsrq)),
                number(median(&cell.sinr)),
                number(branches.map(|b| b[0].1)),
                number(branches.map(|b| b[1].1)),
                cell_text(cell.limit().words()),
            ];
            // Writing to a string cannot fail.
            let _ = write!(out, "{}\r\n", fields.join(","));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_field_begins_a_formula_and_numbers_stay() {
        assert_eq!(cell_text("=1+1"), "'=1+1");
        assert_eq!(cell_text("@cmd"), "'@cmd");
        assert_eq!(cell_text("-93.5"), "-93.5");
        assert_eq!(cell_text("a,\"b\""), "\"a,\"\"b\"\"\"");
    }

    proptest! {
        #[test]
        fn any_name_stays_in_its_field(name in "\\PC{0,40}") {
            let field = cell_text(&name);
            // What a reader of the file sees: outer quotes taken off, doubled ones single.
            let inner = field.strip_prefix('"').and_then(|f| f.strip_suffix('"'));
            let value = inner.map_or_else(|| field.clone(), |f| f.replace("\"\"", "\""));
            prop_assert!(!value.trim_start().starts_with(['=', '+', '@']) || value.parse::<f64>().is_ok(), "{}", value);
            prop_assert_eq!(field.matches('"').count() % 2, 0);
        }
    }
}
