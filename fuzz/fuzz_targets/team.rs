//! Any text as a team's file: its words stand on a page and in a ticket, with nothing that a terminal would obey.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::carrier::ProfileStore;
use mastside::explanation::{self, Basis, Explanation, View};
use mastside::rules::Team;
use std::path::Path;
use std::sync::LazyLock;

mod scratch;

static PROFILES: LazyLock<ProfileStore> = LazyLock::new(ProfileStore::default);

fuzz_target!(|text: &str| {
    let Ok(team) = Team::read(text, Path::new("team.toml")) else { return };
    let basis = Basis { team: Some(&team), ..Basis::of(&PROFILES) };
    let capture = "AT+CPIN?\n+CPIN: SIM PIN\nOK\n";
    let explanation = Explanation::of(capture, Vec::new(), &basis, View::default())
        .expect("no carrier is named");
    let mut document = String::new();
    explanation::markdown(&explanation, &mut document).expect("a string takes all");
    assert!(scratch::is_plain(&document));
    let mut page = String::new();
    explanation::html(&explanation, &mut page).expect("a string takes all");
    assert!(scratch::is_plain(&page));
});
