//! Any text as the XML of the data set of providers: profiles that come of it read back with the same networks.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::carrier::{ProfileStore, import};
use std::path::Path;

fuzz_target!(|text: &str| {
    let Ok(imported) = import::read(text) else { return };
    let mut profiles = ProfileStore::default();
    profiles.add(Path::new("imported.toml"), import::write(&imported, "fuzz", "2026-01-01"));
    if imported.is_empty() {
        return;
    }
    let (read, errors) = profiles.all();
    assert!(errors.is_empty(), "{errors:?}");
    for profile in read {
        assert!(imported.iter().any(|i| i.carrier.networks == profile.carrier.networks));
    }
});
