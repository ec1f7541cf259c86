//! `mastside schema`: the JSON Schema of the machine-readable verdict.

use super::Exit;
use crate::explanation::json::Object;

/// Print the JSON Schema of `explain --format json`
///
/// For programs that read the verdict, and for checking that what they read is whole.
#[derive(clap::Args, Debug)]
pub(super) struct Schema {}

impl Schema {
    #[expect(clippy::unused_self, reason = "the same shape as every command")]
    pub(super) fn run(self) -> Exit {
        let schema = schemars::schema_for!(Object);
        match serde_json::to_string_pretty(&schema) {
            Ok(text) if super::print(&format!("{text}\n")).is_ok() => Exit::Done,
            Ok(_) => Exit::Unusable,
            Err(error) => {
                eprintln!("mastside: the schema could not be written: {error}");
                Exit::Unusable
            }
        }
    }
}
