//! `mastside manual`: the manual pages, one a command.

use super::{Exit, refuse};
use clap::CommandFactory;
use std::path::PathBuf;

/// Write the manual pages
///
/// With a directory, one page a command: mastside.1, mastside-explain.1 and so on. Without one, the page of the
/// program goes to standard output, for `mastside manual | man -l -`.
#[derive(clap::Args, Debug)]
pub(super) struct Manual {
    /// The directory for the pages; it is made where it is missing
    directory: Option<PathBuf>,
}

impl Manual {
    pub(super) fn run(self) -> Exit {
        let command = super::Arguments::command();
        let Some(directory) = self.directory else {
            let mut page = Vec::new();
            let written = clap_mangen::Man::new(command)
                .render(&mut page)
                .and_then(|()| super::print_as_it_is(&String::from_utf8_lossy(&page)));
            return match written {
                Ok(()) => Exit::Done,
                Err(error) => refuse(&format!("the page could not be written: {error}")),
            };
        };
        let written = std::fs::create_dir_all(&directory)
            .and_then(|()| clap_mangen::generate_to(command, &directory));
        match written {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&format!(
                "the pages could not be written to {}: {error}",
                directory.display()
            )),
        }
    }
}
