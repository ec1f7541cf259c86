//! GPX 1.1: one way point a spot.

use crate::sanitize::markup;
use crate::survey::analysis::Analysis;
use std::fmt::Write;

/// The spots that have a position, as way points.
pub fn gpx(analysis: &Analysis) -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"mastside\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n",
    );
    for spot in &analysis.spots {
        let Some(place) = spot.position() else { continue };
        let level = spot.main().and_then(super::super::spot::CellSeries::level);
        let words =
            level.map_or_else(|| "no level".into(), |l| format!("median {:.1} dBm", l.median));
        let name = markup(&spot.name);
        // Writing to a string cannot fail.
        let _ = writeln!(
            out,
            "  <wpt lat=\"{:.7}\" lon=\"{:.7}\"><name>{}</name><desc>{}</desc></wpt>",
            place.latitude,
            place.longitude,
            name,
            markup(&words)
        );
    }
    out.push_str("</gpx>\n");
    out
}
