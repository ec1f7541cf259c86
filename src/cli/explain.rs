//! `mastside explain`: pasted modem output in, an explanation out.

use super::Exit;
use std::path::PathBuf;

/// Explain what a modem said
#[derive(clap::Args, Debug)]
pub(super) struct Explain {
    /// Text to read, `-` for standard input
    #[arg(value_name = "FILE", default_value = "-")]
    file: PathBuf,
}

impl Explain {
    pub(super) fn run(self) -> Exit {
        let _ = self.file;
        Exit::Unclear
    }
}
