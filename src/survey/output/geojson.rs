//! GeoJSON (RFC 7946): one point a spot, longitude first, with the figures of all that the modem used there.

use super::figures::{Figures, median};
use crate::survey::visits::Visit;
use serde_json::{Value, json};

/// The spots of all visits that have a position, as a feature collection.
pub fn geojson(visits: &[Visit]) -> Value {
    let mut features = Vec::new();
    for visit in visits {
        for spot in &visit.analysis.spots {
            let Some(place) = spot.position() else { continue };
            let figures = Figures::of(spot);
            let level = figures.level.as_ref();
            let bounds = level.and_then(|l| l.median_interval);
            let main = spot.main();
            let mut at = vec![json!(round(place.longitude, 7)), json!(round(place.latitude, 7))];
            at.extend(place.altitude_m.map(|a| json!(round(a, 1))));
            features.push(json!({
                "type": "Feature",
                "geometry": { "type": "Point", "coordinates": at },
                "properties": {
                    "spot": spot.name,
                    "samples": spot.samples,
                    "cell": main.map(|c| c.cell.to_string()),
                    "band": main.and_then(|c| c.cell.band),
                    "rsrp_median_dbm": level.map(|l| round(l.median, 1)),
                    "rsrp_low_dbm": bounds.map(|i| round(i.low, 1)),
                    "rsrp_high_dbm": bounds.map(|i| round(i.high, 1)),
                    "limit": main.map(|c| c.limit().words()),
                    "accuracy_m": place.accuracy_m,
                    "registered_percent": figures.registered_percent.map(|p| round(p, 1)),
                    "sinr_median_db": median(&spot.used.sinr).map(|s| round(s, 1)),
                    "plmn": spot.network(),
                    "too_short": bounds.is_none(),
                    "site": visit.site,
                    "visit": visit.date().map(|d| d.to_string()),
                    "simulated": visit.analysis.head.rehearsal,
                },
            }));
        }
    }
    json!({ "type": "FeatureCollection", "features": features })
}

fn round(value: f64, digits: i32) -> f64 {
    let scale = 10f64.powi(digits);
    (value * scale).round() / scale
}
