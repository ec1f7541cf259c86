//! Where the sites are: points of a GeoJSON file (RFC 7946), by the name of the site.

use super::record::on_earth;
use serde_json::Value;
use std::collections::HashMap;

/// The properties of a feature that may hold the name of its site, the first that is there.
const NAMES: [&str; 3] = ["site", "name", "id"];

/// Latitude and longitude of each site, from the text of a GeoJSON file.
///
/// # Errors
///
/// A sentence where the text is no GeoJSON, or no point in it has a name.
pub fn positions(text: &str) -> Result<HashMap<String, (f64, f64)>, String> {
    let whole: Value =
        serde_json::from_str(text).map_err(|e| format!("this is no GeoJSON: {e}"))?;
    let features =
        whole["features"].as_array().ok_or("this is no GeoJSON: it has no `features`")?;
    let found: HashMap<_, _> = features.iter().filter_map(one).collect();
    if found.is_empty() {
        return Err("no feature is a point with a property `site`, `name` or `id`".into());
    }
    Ok(found)
}

fn one(feature: &Value) -> Option<(String, (f64, f64))> {
    let properties = &feature["properties"];
    let named = NAMES.iter().map(|key| &properties[*key]).chain([&feature["id"]]);
    let name = named.into_iter().find_map(|value| match value {
        Value::String(name) => Some(name.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    })?;
    if feature["geometry"]["type"] != "Point" {
        return None;
    }
    // Longitude stands first (RFC 7946 §3.1.1).
    let coordinates = feature["geometry"]["coordinates"].as_array()?;
    let position = (coordinates.get(1)?.as_f64()?, coordinates.first()?.as_f64()?);
    on_earth(position).then_some((name, position))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_with_a_name_are_taken_and_longitude_stands_first() {
        let text = r#"{"type":"FeatureCollection","features":[
            {"type":"Feature","properties":{"site":"weir"},"geometry":{"type":"Point","coordinates":[-12.4,-48.2,3]}},
            {"type":"Feature","id":7,"properties":null,"geometry":{"type":"Point","coordinates":[1,2]}},
            {"type":"Feature","properties":{"name":"far"},"geometry":{"type":"Point","coordinates":[1,200]}},
            {"type":"Feature","properties":{"name":"path"},"geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}}]}"#;
        let found = positions(text).unwrap();
        assert_eq!((found.len(), found["weir"], found["7"]), (2, (-48.2, -12.4), (2.0, 1.0)));
        assert!(positions("{}").is_err() && positions("x").is_err());
        assert!(positions(r#"{"features":[]}"#).unwrap_err().contains("no feature"));
    }
}
