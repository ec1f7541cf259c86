//! Any text as the reply of every known header, with and without its request.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::Capture;
use mastside::case::{Case, Value};
use mastside::response::families;

fuzz_target!(|body: &str| {
    for family in families() {
        for head in family.prefixes {
            for text in [
                format!("{head}: {body}\n"),
                format!("AT{}\n{head}: {body}\nOK\n", family.request.trim_start_matches("AT")),
            ] {
                for reading in Case::read(&Capture::new(&text)).radio.readings.all() {
                    if let Value::Number(Some(value)) = reading.value.value {
                        let (low, high) = reading.value.quantity.range();
                        assert!((low..=high).contains(&value));
                    }
                }
            }
        }
    }
});
