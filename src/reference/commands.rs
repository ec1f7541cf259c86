//! The grammar and the values of commands that a diagnosis reads (TS 27.007, ITU-T V.250).

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// One command.
#[derive(Clone, Debug)]
pub struct Command {
    /// Its name with the sign, without `AT`.
    pub name: &'static str,
    /// The forms that it has: execute, read, set, test.
    pub forms: &'static str,
    /// What it answers.
    pub reply: &'static str,
    /// The meaning of its values, one field a part.
    pub values: Vec<&'static str>,
    /// The release that brought it; `-` where none is known.
    pub release: &'static str,
    /// What its set form changes.
    pub changes: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// Every command, in the order of the table.
pub fn commands() -> &'static [Command] {
    &TABLE
}

/// The commands of a name, with or without `AT`, sign and form: `+CEREG`, `AT+CEREG?`, `cereg`.
pub fn named(text: &str) -> Vec<&'static Command> {
    let plain = |name: &str| -> String {
        let name = name.trim().to_ascii_uppercase();
        let name = name.strip_prefix("AT").filter(|rest| !rest.is_empty()).unwrap_or(&name);
        let end = name.find(['=', '?']).unwrap_or(name.len());
        name[..end].trim_start_matches(['+', '&']).to_owned()
    };
    let wanted = plain(text);
    commands().iter().filter(|c| c.name.split('/').any(|name| plain(name) == wanted)).collect()
}

static TABLE: LazyLock<Vec<Command>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<Command>> =
    File::new("commands.csv", include_str!("../../band-tables/commands.csv"), read);

/// The names of responses that say nothing of why a modem does not attach, in capitals.
pub(crate) fn beside() -> &'static [&'static str] {
    &BESIDE
}

static BESIDE: LazyLock<Vec<&'static str>> = LazyLock::new(|| BESIDE_FILE.load());

pub(crate) static BESIDE_FILE: File<Vec<&'static str>> = File::new(
    "commands-beside.csv",
    include_str!("../../band-tables/commands-beside.csv"),
    read_beside,
);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BesideRow {
    #[serde(deserialize_with = "filled")]
    commands: &'static str,
    #[serde(rename = "about", deserialize_with = "filled")]
    _about: &'static str,
    #[serde(rename = "clause", deserialize_with = "filled")]
    _clause: &'static str,
    #[serde(rename = "standing")]
    _standing: Standing,
    #[serde(rename = "read_in")]
    _read_in: &'static str,
}

fn read_beside(sheet: &Sheet<'_>) -> Result<Vec<&'static str>, TableError> {
    let rows = sheet.rows(|row: BesideRow, _| Ok(row.commands))?;
    Ok(rows.into_iter().flat_map(str::split_whitespace).collect())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(deserialize_with = "filled")]
    command: &'static str,
    #[serde(deserialize_with = "filled")]
    forms: &'static str,
    reply: &'static str,
    values: &'static str,
    release: &'static str,
    changes: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<Command>, TableError> {
    sheet.rows(|row: Row, _| {
        Ok(Command {
            name: row.command,
            forms: row.forms,
            reply: row.reply,
            values: row.values.split(" | ").map(str::trim).filter(|v| !v.is_empty()).collect(),
            release: row.release,
            changes: row.changes,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_is_found_however_it_is_written() {
        for text in ["+CEREG", "AT+CEREG?", "cereg", "at+cereg=3"] {
            assert_eq!(named(text).first().map(|c| c.name), Some("+CEREG"), "{text}");
        }
        assert!(named("+NOSUCH").is_empty());
    }
}
