//! The explanation of a text: the one value that every output format writes, and one writer a format.
//!
//! [`Explanation::of`] reads, chooses a carrier profile, judges and attaches what is known beside the verdict. A
//! writer is a function from an [`Explanation`] to text; it decides nothing.

mod asking;
mod device;
mod extract;
pub mod html;
pub mod json;
mod markdown;
mod marks;
mod message;
mod returning;
mod team;
mod text;
mod unread;

pub use device::Device;
pub use extract::{Extract, Part, Source};
pub use html::html;
pub use json::json;
pub use markdown::markdown;
pub use message::message;
pub use text::text;

use crate::carrier::{ProfileStore, UnknownProfile};
use crate::case::Case;
use crate::rules::Team;
use crate::verdict::returns::{self, Decision};
use crate::verdict::{Finding, Verdict};

/// A text explained.
#[derive(Debug)]
pub struct Explanation<'t> {
    /// The text, for quoting from it.
    pub source: Source<'t>,
    /// The modems whose output is in the text, in its order; never empty.
    pub devices: Vec<Device>,
    /// The place of the one whose verdict decides; remarks on profile, progress and team stand with it.
    pub chosen: usize,
    /// The checks before a return, if they were asked for.
    pub returning: Option<Decision>,
    /// How much is shown.
    pub view: View,
}

/// What a text is held against.
#[derive(Clone, Copy, Debug)]
pub struct Basis<'a> {
    /// The carrier profiles.
    pub profiles: &'a ProfileStore,
    /// The name of the card's carrier, if the user gives it.
    pub carrier: Option<&'a str>,
    /// The team's own notes, steps and contacts.
    pub team: Option<&'a Team>,
    /// The checks before a return that were made outside of the text; `None` if no return is in question.
    pub tried: Option<&'a [String]>,
}

impl<'a> Basis<'a> {
    /// Profiles alone.
    pub const fn of(profiles: &'a ProfileStore) -> Self {
        Self { profiles, carrier: None, team: None, tried: None }
    }
}

/// How much of an explanation is shown, and how wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct View {
    /// Every judgement, also what is ruled out and what is open.
    pub all: bool,
    /// Identities and secrets in full.
    pub unmask: bool,
    /// The width of the terminal in columns.
    pub width: usize,
}

impl Default for View {
    fn default() -> Self {
        Self { all: false, unmask: false, width: 80 }
    }
}

impl<'t> Explanation<'t> {
    /// Explains a text. `parts` are the texts that it was put together from; the last of several is an answer to the
    /// questions of the others.
    ///
    /// # Errors
    ///
    /// [`UnknownProfile`] if a carrier is named that no profile has.
    pub fn of(
        text: &'t str,
        parts: Vec<Part>,
        basis: &Basis<'_>,
        view: View,
    ) -> Result<Self, UnknownProfile> {
        let mut devices = device::all(text, basis)?;
        let chosen = device::worst(&devices);
        let others = device::remarks(&devices, chosen);
        let Device { case, verdict } = &mut devices[chosen];
        verdict.remarks.splice(0..0, others);
        if let Some(team) = basis.team {
            verdict.note_team(team);
        }
        if let Some(last) = parts.last().filter(|_| parts.len() > 1) {
            let mut earlier = device::all(&text[..last.starts_at], basis)?;
            let before = device::worst(&earlier);
            verdict.note_progress(&earlier.swap_remove(before).verdict);
        }
        let returning = basis.tried.map(|tried| returns::decide(case, verdict, tried));
        let source = Source::new(text, view.unmask).with_parts(parts);
        Ok(Self { source, devices, chosen, returning, view })
    }

    /// What was read of the modem whose verdict decides.
    pub fn case(&self) -> &Case {
        &self.devices[self.chosen].case
    }

    /// The verdict that decides.
    pub fn verdict(&self) -> &Verdict {
        &self.devices[self.chosen].verdict
    }

    /// The lines behind the finding.
    pub fn evidence(&self) -> &[crate::case::Evidence] {
        match &self.verdict().finding {
            Finding::Connected { evidence, .. } => evidence,
            _ => self.verdict().root().map_or(&[], |root| root.evidence()),
        }
    }
}

/// How lines are broken: between words, never inside a name such as LTE-M.
pub(crate) fn lines_of<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}
