//! Any bytes as a capture: decoded, read, judged and printed without a panic, every span within
//! the text, every finding with its evidence.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::{Capture, decode};
use mastside::case::Case;
use mastside::explanation::{Source, text};
use mastside::verdict::explain;

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode(bytes) else { return };
    let case = Case::read(&Capture::new(&decoded));
    let verdict = explain(&case);
    for judged in &verdict.judged {
        for evidence in judged.evidence() {
            assert!(decoded.get(evidence.span.start..evidence.span.end).is_some());
        }
    }
    let mut page = String::new();
    text(&Source::new(&decoded, false), &verdict, true, 80, &mut page).expect("a string takes all");
    assert!(!page.contains('\u{1b}') || page.contains("\u{1b}["));
});
