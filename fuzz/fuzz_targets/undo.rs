//! Any text as an undo file and as a line of the journal: an undo that is accepted reads, and writes the commands that it
//! shows.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::at::is_read;
use mastside::live::{Entry, RadioEntry, Undo};

fuzz_target!(|text: &str| {
    // Neither may panic; what they hold is only shown.
    let _ = serde_json::from_str::<Entry>(text);
    let _ = toml::from_str::<RadioEntry>(text);
    let Ok(undo) = toml::from_str::<Undo>(text) else { return };
    let Ok(targets) = undo.targets() else { return };
    for target in targets {
        assert!(is_read(target.setting.read_command()));
        let write = target.setting.write(&target.before).expect("a value that can be put back");
        assert!(undo.commands.contains(&write) && !write.contains([';', '\r', '\n']));
    }
});
