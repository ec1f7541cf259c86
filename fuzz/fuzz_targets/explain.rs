//! Any bytes as a capture: decoded, read, judged and printed without a panic, every span within
//! the text, every finding with its evidence.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::decode;
use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, Explanation, View, text};

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode(bytes) else { return };
    let profiles = ProfileStore::default();
    let view = View { all: true, ..View::default() };
    let explanation = Explanation::of(&decoded, Vec::new(), &Basis::of(&profiles), view)
        .expect("no profile is named");
    for judged in &explanation.verdict.judged {
        for evidence in judged.evidence() {
            assert!(decoded.get(evidence.span.start..evidence.span.end).is_some());
        }
    }
    let mut page = String::new();
    text(&explanation, &mut page).expect("a string takes all");
    assert!(!page.contains('\u{1b}') || page.contains("\u{1b}["));
});
