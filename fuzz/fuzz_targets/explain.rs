//! Any bytes as a capture: decoded, read and judged without a panic, every piece of evidence within
//! the text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::{Capture, decode};
use mastside::case::Case;
use mastside::verdict::explain;

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode(bytes) else { return };
    let verdict = explain(&Case::read(&Capture::new(&decoded)));
    for judged in &verdict.judged {
        for evidence in judged.evidence() {
            assert!(decoded.get(evidence.span.start..evidence.span.end).is_some());
        }
    }
});
