//! `mastside schema`: the JSON Schema of what other programs read.

use super::Exit;
use crate::explanation::json::Object;
use crate::triage::Row;

/// Print the JSON Schema of `explain --format json`, or of the rows of `triage`
///
/// For programs that read the verdict or the rows, and for checking that what they read is whole.
#[derive(clap::Args, Debug)]
pub(super) struct Schema {
    /// What the schema describes
    #[arg(value_enum, value_name = "FORM", default_value_t)]
    form: Form,
}

/// A form that has a schema.
#[derive(Clone, Copy, Debug, Default, clap::ValueEnum)]
enum Form {
    /// The object of `explain --format json`
    #[default]
    Verdict,
    /// A line of `triage --format jsonl`
    TriageRow,
}

impl Schema {
    pub(super) fn run(self) -> Exit {
        let schema = match self.form {
            Form::Verdict => schemars::schema_for!(Object),
            Form::TriageRow => schemars::schema_for!(Row),
        };
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
