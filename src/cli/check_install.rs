//! `mastside check-install`: what this installation has, what it lacks, and how to get it.

use super::system::{Access, access, may_write_below};
use super::{Exit, carrier, version};
use crate::carrier::lint;
use crate::live::Journal;
use crate::sanitize::plain;
use crate::{port, reference, rules};
use std::path::PathBuf;

/// Say what this installation has, what it lacks, and how to get it
///
/// Looks at the tables, the carrier profiles, the team's file, the journal of changes and the right to open serial
/// ports. Opens no port and sends nothing; `mastside ports` asks which of them is a modem.
///
/// Exit status: 0 nothing is missing, 1 something is.
#[derive(clap::Args, Debug)]
pub(super) struct CheckInstall {
    /// A directory with carrier profiles, beside the shipped ones and your own
    #[arg(long, value_name = "DIR")]
    profiles: Vec<PathBuf>,
}

/// One thing that was looked at.
#[derive(Debug, PartialEq, Eq)]
enum Item {
    /// It is there.
    Found(String),
    /// It is not there, and nothing needs it.
    Optional(String),
    /// It is not there: what is missing, and how to get it.
    Missing(String, String),
}

impl CheckInstall {
    pub(super) fn run(self) -> Exit {
        let mut items =
            vec![Item::Found(format!("mastside {}", version::LONG.replace('\n', ", "))), tables()];
        items.extend(self.carriers());
        items.push(team());
        items.push(journal());
        items.extend(ports());
        let missing = items.iter().filter(|item| matches!(item, Item::Missing(..))).count();
        match super::print(&page(&items, super::width())) {
            Ok(()) if missing == 0 => Exit::Done,
            Ok(()) => Exit::Fault,
            Err(_) => Exit::Unusable,
        }
    }

    /// The profiles, shipped ones and the user's.
    fn carriers(&self) -> Vec<Item> {
        let (profiles, readable) = carrier::load(&self.profiles);
        let wrong = lint::check(&profiles);
        let own = crate::carrier::ProfileStore::user_directory();
        let mut items = Vec::new();
        if !readable {
            items.push(Item::Missing(
                "a file or folder of carrier profiles that can be read".to_owned(),
                "see the message above; mend or remove what it names".to_owned(),
            ));
        } else if wrong.is_empty() {
            items.push(Item::Found(format!("{} carrier profiles, nothing wrong", profiles.len())));
        } else {
            items.push(Item::Missing(
                format!("{} faults in carrier profiles", wrong.len()),
                "mastside carrier check names file, line and key".to_owned(),
            ));
        }
        if let Some(own) = own.filter(|own| !own.is_dir()) {
            items.push(Item::Optional(format!(
                "no carrier profiles of your own; `mastside carrier new NAME` begins one, {} is where they belong",
                own.display()
            )));
        }
        items
    }
}

fn tables() -> Item {
    match reference::check_built_in() {
        Ok(count) => Item::Found(format!("{count} tables, each read whole")),
        Err(error) => {
            Item::Missing(format!("a sound table: {error}"), "install the program anew".into())
        }
    }
}

fn team() -> Item {
    let Some(path) = rules::Team::own_file().filter(|path| path.is_file()) else {
        return Item::Optional("no file of your team's notes, steps and contacts".into());
    };
    match rules::Team::load(Some(&path)) {
        Ok(_) => Item::Found(format!("the team's file {}", path.display())),
        Err(error) => Item::Missing(format!("a sound team file: {error}"), "mend that line".into()),
    }
}

/// The journal keeps what was changed and which radio is off; nothing is changed without it.
fn journal() -> Item {
    let journal = Journal::of_user("");
    match journal.folder() {
        None => Item::Missing(
            "a folder for the journal of changes".into(),
            "set HOME to your home folder".into(),
        ),
        Some(folder) if may_write_below(folder) => {
            Item::Found(format!("the journal's folder {} can be written", folder.display()))
        }
        Some(folder) => Item::Missing(
            format!("the right to write the journal to {}", folder.display()),
            "give yourself that folder, or set XDG_DATA_HOME to one that is yours".into(),
        ),
    }
}

fn ports() -> Vec<Item> {
    let found = port::candidates();
    if found.is_empty() {
        return vec![Item::Optional(
            "no serial port that may be a modem; `mastside ports` says what to try".into(),
        )];
    }
    found.iter().map(|port| right(&port.path, &access(&port.path))).collect()
}

/// What the right to a port comes to.
fn right(path: &str, access: &Access) -> Item {
    match access {
        Access::Open => Item::Found(format!("{path}: you may open it")),
        Access::Unknown(why) => Item::Optional(format!("{path}: {why}")),
        Access::NewLogin(group) => Item::Missing(
            format!("{path}: your session is older than your place in the group {group}"),
            "log out and in again".into(),
        ),
        Access::Group(group) => Item::Missing(
            format!("{path}: the right to open it, which the group {group} has"),
            format!("sudo usermod -a -G {group} \"$USER\", then log out and in again"),
        ),
        Access::OwnerOnly => Item::Missing(
            format!("{path}: the right to open it, which its owner alone has"),
            "a udev rule that gives the port to the group of the other serial ports, often dialout"
                .into(),
        ),
    }
}

fn page(items: &[Item], width: usize) -> String {
    let mut page = String::new();
    for item in items {
        let (word, text, how) = match item {
            Item::Found(text) => ("found    ", text, None),
            Item::Optional(text) => ("optional ", text, None),
            Item::Missing(text, how) => ("missing  ", text, Some(how)),
        };
        let mut add = |first: &str, text: &str| {
            let options = textwrap::Options::new(width.max(30))
                .break_words(false)
                .initial_indent(first)
                .subsequent_indent("         ");
            page += &format!("{}\n", textwrap::fill(&plain(text), options));
        };
        add(word, text);
        if let Some(how) = how {
            add("         to do: ", how);
        }
    }
    page
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_says_how_to_get_it() {
        let item = right("/dev/ttyUSB2", &Access::Group("dialout".into()));
        let page = page(&[Item::Found("the port".into()), item], 80);
        assert_eq!(
            page,
            "found    the port\n\
             missing  /dev/ttyUSB2: the right to open it, which the group dialout has\n         \
             to do: sudo usermod -a -G dialout \"$USER\", then log out and in again\n"
        );
    }

    #[test]
    fn a_right_that_is_there_or_not_known_is_not_missing() {
        assert!(matches!(right("/dev/ttyUSB2", &Access::Open), Item::Found(_)));
        assert!(matches!(right("COM3", &Access::Unknown("not known".into())), Item::Optional(_)));
        assert!(matches!(right("/dev/ttyUSB2", &Access::OwnerOnly), Item::Missing(..)));
    }
}
