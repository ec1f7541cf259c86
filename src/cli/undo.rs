//! The way back from a change: `mastside amend --undo`, and the journal of changes.

use super::amend::{Amend, tell};
use super::{Exit, live, refuse};
use crate::live::{Entries, EntryState, Force, Journal, Refusal, Undo};
use crate::sanitize::plain;
use std::path::Path;

/// Lists every change that was made from this computer.
pub(super) fn journal() -> Exit {
    let journal = Journal::of_user("");
    let Entries { entries, unreadable } = match journal.entries() {
        Ok(read) => read,
        Err(error) => return refuse(&format!("the journal of changes cannot be read: {error}")),
    };
    if unreadable > 0 {
        let where_to = journal.folder().map(|f| f.display().to_string()).unwrap_or_default();
        eprintln!(
            "{unreadable} lines of changes.jsonl cannot be read and are left out; the undo files of \
             all changes are in {}/undo.",
            plain(&where_to)
        );
    } else if entries.is_empty() {
        eprintln!("No change was made from this computer.");
        return Exit::Done;
    }
    let mut page = String::new();
    for entry in entries {
        let model = entry.modem.model.as_deref().unwrap_or("a modem without a model");
        page.push_str(&plain(&format!(
            "{}  {:6}  {} at {}: {}",
            entry.at,
            entry.state.word(),
            model,
            entry.port,
            entry.change
        )));
        page.push('\n');
        if let Some(undo) = entry.undo {
            let undo = undo.display().to_string();
            page.push_str(&format!("    mastside amend --undo {}\n", plain(&undo)));
        }
    }
    match super::print(&page) {
        Ok(()) if unreadable > 0 => Exit::Fault,
        Ok(()) => Exit::Done,
        Err(_) => Exit::Unusable,
    }
}

/// Puts back what an undo file names.
pub(super) fn put_back(amend: &Amend, file: &Path) -> Exit {
    let undo: Undo = match std::fs::read_to_string(file)
        .map_err(|e| e.to_string())
        .and_then(|t| toml::from_str(&t).map_err(|e| e.to_string()))
    {
        Ok(undo) => undo,
        Err(error) => return refuse(&format!("{}: {error}", file.display())),
    };
    if let Err(error) = undo.targets() {
        return refuse(&error.to_string());
    }
    tell("Made:  ", &plain(&undo.made));
    tell("Was:   ", &plain(&undo.change));
    tell("Sends: ", &plain(&undo.commands.join(", then ")));
    tell("Link:  ", "The link may be down for a minute, at most three.");
    if amend.dry_run {
        eprintln!("Nothing was changed (--dry-run).");
        return Exit::Done;
    }
    let mut force = Force { other_modem: amend.other_modem, moved_on: amend.moved_on };
    if undo.modem.is_none() && !force.other_modem {
        eprintln!(
            "This file does not say which modem it was made for. Sure that it is the one on the line?"
        );
        if amend.yes {
            return refuse("the file names no modem; --other-modem says that this one is meant");
        }
        if !amend.agreed("Is this the modem?") {
            return Exit::Unusable;
        }
        force.other_modem = true;
    }
    if let Err(exit) = amend.line.may_drop() {
        return exit;
    }
    if !amend.agreed("Put this back?") {
        return Exit::Unusable;
    }
    let mut visit = match live::Visit::begin(&amend.line, amend.record.as_ref(), "undo") {
        Ok(visit) => visit,
        Err(exit) => return exit,
    };
    let journal = visit.journal.clone();
    let mut client = visit.client();
    let exit = match client.wake(amend.line.may_search()) {
        Ok(true) => match undo.put_back(&mut client, &journal, force) {
            Ok(()) if undo.not_put_back.is_empty() => {
                eprintln!("Put back, and read back: the settings are as they were.");
                Exit::Done
            }
            Ok(()) => {
                let lost = plain(&undo.not_put_back.join(", ")).into_owned();
                tell(
                    "",
                    &format!(
                        "Put back, and read back, but for {lost}: its former value is not known here, set it by hand."
                    ),
                );
                Exit::Fault
            }
            Err(error) => {
                let way = match error {
                    Refusal::OtherModem(_) => {
                        "; --other-modem says that it is the one that is meant"
                    }
                    Refusal::MovedOn { .. } => "; --moved-on goes on all the same",
                    _ => "",
                };
                refuse(&format!("{error}{way}"))
            }
        },
        Ok(false) => refuse("nothing answers on this line; `mastside ports` says why"),
        Err(error) => refuse(&error.to_string()),
    };
    let state = if exit == Exit::Unusable { EntryState::Failed } else { EntryState::Undone };
    let modem = undo.modem.clone().unwrap_or_default();
    if let Err(error) = journal.note(&modem, &format!("undo: {}", undo.change), state, None) {
        live::say(&format!("mastside: the journal could not be written: {error}"));
    }
    live::told_left(&client.restore());
    exit
}
