//! Any bytes as a capture, written in every format: no panic, and nothing reaches a page that a
//! terminal would obey.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::decode;
use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, Explanation, View, json, markdown, text};

fuzz_target!(|bytes: &[u8]| {
    let Ok(decoded) = decode(bytes) else { return };
    let profiles = ProfileStore::default();
    let view = View { all: true, ..View::default() };
    let explanation = Explanation::of(&decoded, Vec::new(), &Basis::of(&profiles), view)
        .expect("no carrier is named");
    let mut page = String::new();
    text(&explanation, &mut page).expect("a string takes all");
    // Only sequences that this program wrote itself begin with the escape character.
    assert!(!page.contains('\u{1b}') || page.contains("\u{1b}["));
    let mut object = String::new();
    json(&explanation, &mut object).expect("a string takes all");
    assert!(!object.contains('\u{1b}'));
    let mut document = String::new();
    markdown(&explanation, &mut document).expect("a string takes all");
    assert!(!document.contains('\u{1b}'));
});
