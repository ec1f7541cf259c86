//! How common the causes are, for choosing what to ask; the figures stand in `commonness.toml`.

use std::collections::HashMap;
use std::sync::OnceLock;

/// The weight of a cause; 1 for those that the table does not name.
pub(super) fn weight(id: &str) -> f64 {
    static TABLE: OnceLock<HashMap<String, HashMap<String, f64>>> = OnceLock::new();
    let table =
        TABLE.get_or_init(|| toml::from_str(include_str!("commonness.toml")).unwrap_or_default());
    let (layer, cause) = id.split_once('/').unwrap_or((id, ""));
    table.get(layer).and_then(|l| l.get(cause)).copied().unwrap_or(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_reads_and_names_only_rules() {
        let table: HashMap<String, HashMap<String, f64>> =
            toml::from_str(include_str!("commonness.toml")).unwrap();
        for (layer, causes) in &table {
            for (cause, weight) in causes {
                assert!(
                    crate::rules::find(&format!("{layer}/{cause}")).is_some(),
                    "{layer}/{cause}"
                );
                assert!(*weight > 0.0);
            }
        }
        assert!(weight("card/not-detected") > weight("device/hot"));
    }
}
