//! `mastside manual`: the manual pages, one a command.

use super::{Exit, refuse};
use clap::CommandFactory;
use clap_mangen::Man;
use std::path::{Path, PathBuf};

/// Write the manual pages
///
/// With a directory, one page a command: mastside.1, mastside-explain.1 and so on. Without one, the page of the
/// program goes to standard output, for `mastside manual | man -l -`.
#[derive(clap::Args, Debug)]
pub(super) struct Manual {
    /// The directory for the pages; it is made where it is missing
    directory: Option<PathBuf>,
}

/// The day of the tables stands for that of the pages: it is the same in every build of one source.
const DATE: &str = env!("MASTSIDE_TABLES");

impl Manual {
    pub(super) fn run(self) -> Exit {
        let mut command = super::Arguments::command().disable_help_subcommand(true);
        command.build();
        let Some(directory) = self.directory else {
            let written = page(command)
                .and_then(|page| super::print_as_it_is(&String::from_utf8_lossy(&page)));
            return match written {
                Ok(()) => Exit::Done,
                Err(error) => refuse(&format!("the page could not be written: {error}")),
            };
        };
        let written = std::fs::create_dir_all(&directory).and_then(|()| pages(command, &directory));
        match written {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&format!(
                "the pages could not be written to {}: {error}",
                directory.display()
            )),
        }
    }
}

/// The page of a command, titled by its whole name.
fn page(command: clap::Command) -> std::io::Result<Vec<u8>> {
    let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
    let mut page = Vec::new();
    let man = Man::new(command).title(name.to_uppercase()).date(DATE).manual("User Commands");
    man.source(concat!("mastside ", env!("CARGO_PKG_VERSION"))).render(&mut page)?;
    Ok(page)
}

/// The pages of a command and of those below it.
fn pages(command: clap::Command, directory: &Path) -> std::io::Result<()> {
    for below in command.get_subcommands().filter(|c| !c.is_hide_set()) {
        pages(below.clone(), directory)?;
    }
    let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
    std::fs::write(directory.join(format!("{name}.1")), page(command)?)
}
