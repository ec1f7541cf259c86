//! GeoJSON (RFC 7946): one point a spot, longitude first, with the figures of its main cell.

use crate::survey::analysis::Analysis;
use serde_json::{Value, json};

/// The spots that have a position, as a feature collection.
pub fn geojson(analysis: &Analysis) -> Value {
    let features: Vec<Value> = analysis
        .spots
        .iter()
        .filter_map(|spot| {
            let place = spot.position()?;
            let main = spot.main();
            let level = main.and_then(super::super::spot::CellSeries::level);
            let mut at = vec![json!(round(place.longitude, 7)), json!(round(place.latitude, 7))];
            at.extend(place.altitude_m.map(|a| json!(round(a, 1))));
            Some(json!({
                "type": "Feature",
                "geometry": { "type": "Point", "coordinates": at },
                "properties": {
                    "spot": spot.name,
                    "samples": spot.samples,
                    "cell": main.map(|c| c.cell.to_string()),
                    "band": main.and_then(|c| c.cell.band),
                    "rsrp_median_dbm": level.as_ref().map(|l| round(l.median, 1)),
                    "rsrp_low_dbm": level.as_ref().and_then(|l| l.median_interval).map(|i| round(i.low, 1)),
                    "rsrp_high_dbm": level.as_ref().and_then(|l| l.median_interval).map(|i| round(i.high, 1)),
                    "limit": main.map(|c| c.limit().words()),
                    "accuracy_m": place.accuracy_m,
                },
            }))
        })
        .collect();
    json!({ "type": "FeatureCollection", "features": features })
}

fn round(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}
