//! Any text as a file of carrier profiles: read, checked, and compared with a card; an error names a line of the file.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::carrier::{Known, ProfileStore, lint};
use std::path::Path;

fuzz_target!(|text: &str| {
    let mut profiles = ProfileStore::default();
    profiles.add(Path::new("carriers.toml"), text.to_owned());
    for error in lint::check(&profiles) {
        assert!(!error.to_string().is_empty());
    }
    let (read, _) = profiles.all();
    for profile in read {
        assert!(profile.place.line <= text.lines().count() + 1);
        let name = &profile.carrier.name;
        assert!(name.is_empty() || profiles.named(name).is_some());
    }
    let known = Known {
        imsi: Some("001010000000016".into()),
        gid1: Some("5242".into()),
        network: Some("00101".into()),
        ..Known::default()
    };
    profiles.rank(&known).undecided_by();
});
