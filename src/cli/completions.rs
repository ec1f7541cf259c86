//! `mastside completions`: the script that makes a shell complete commands and options.

use super::{Exit, refuse};
use clap::CommandFactory;
use clap_complete::Shell;

/// Print the completion script of a shell
///
/// bash: mastside completions bash > ~/.local/share/bash-completion/completions/mastside
///
/// zsh: into a file `_mastside` in a directory of $fpath. fish: into
/// ~/.config/fish/completions/mastside.fish. PowerShell: add it to the file that $PROFILE names.
#[derive(clap::Args, Debug)]
pub(super) struct Completions {
    /// The shell
    shell: Shell,
}

impl Completions {
    pub(super) fn run(self) -> Exit {
        let mut script = Vec::new();
        clap_complete::generate(
            self.shell,
            &mut super::Arguments::command(),
            env!("CARGO_PKG_NAME"),
            &mut script,
        );
        match super::print_as_it_is(&String::from_utf8_lossy(&script)) {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&format!("the script could not be written: {error}")),
        }
    }
}
