//! Any text as the sentences of a receiver, and as the places of sites in GeoJSON: no place that is not on Earth.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::survey::position::Receiver;

fuzz_target!(|text: &str| {
    let mut receiver = Receiver::default();
    for sentence in text.lines() {
        // A checksum that was found by chance is rare, so the right one is put behind the words.
        let sum = sentence.bytes().fold(0, |sum, byte| sum ^ byte);
        for sentence in [sentence.to_owned(), format!("${sentence}*{sum:02X}")] {
            if let Some(place) = receiver.take(&sentence) {
                assert!(place.latitude.abs() <= 90.0 && place.longitude.abs() <= 180.0);
                assert!(place.accuracy_m.is_none_or(|m| m.is_finite() && m >= 0.0));
            }
        }
    }
    for (latitude, longitude) in mastside::triage::positions(text).unwrap_or_default().values() {
        assert!(latitude.abs() <= 90.0 && longitude.abs() <= 180.0);
    }
});
