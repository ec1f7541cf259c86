//! `mastside redact`: a capture without identities, ready to be passed on.

use super::{Exit, input};
use std::path::PathBuf;

/// Replace identities, addresses and secrets by stand-ins
///
/// Prints the same text line by line: numbers of subscriber, card and device, phone numbers, addresses, PINs, user
/// names, passwords and keys have stand-ins, the same one wherever the same one stood. Network codes, issuer digits and
/// special addresses stay, so `mastside explain` gives the same verdict. Read the result before you pass it on: names
/// of people and places in sentences stay.
#[derive(clap::Args, Debug)]
pub(super) struct Redact {
    /// The text, `-` for standard input
    #[arg(value_name = "FILE", default_value = "-")]
    file: PathBuf,
}

impl Redact {
    pub(super) fn run(self) -> Exit {
        match input::texts(std::slice::from_ref(&self.file)) {
            Ok((text, _)) => match super::print_as_it_is(&crate::redact::redact(&text)) {
                Ok(()) => Exit::Done,
                Err(_) => Exit::Unusable,
            },
            Err(error) => input::refuse(&error),
        }
    }
}
