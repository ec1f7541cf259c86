//! The one value that every output format writes.

use super::basis::{Basis, View};
use super::device::{self, Device};
use super::extract::{Part, Source};
use crate::capture::Capture;
use crate::carrier::UnknownProfile;
use crate::case::Case;
use crate::verdict::returns::{self, Decision};
use crate::verdict::{Finding, TeamLine, Verdict};

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
        let capture = Capture::new(text);
        let mut devices = device::all(&capture, basis)?;
        let chosen = device::worst(&devices);
        let others = device::remarks(&devices, chosen);
        let Device { case, verdict } = &mut devices[chosen];
        verdict.remarks.splice(0..0, others);
        if let Some(team) = basis.team {
            verdict.note_team(team);
        }
        if let Some(last) = parts.last().filter(|_| parts.len() > 1) {
            let mut earlier = device::all(&Capture::new(&text[..last.starts_at]), basis)?;
            let before = device::worst(&earlier);
            verdict.note_progress(&earlier.swap_remove(before).verdict);
        }
        let returning = basis.tried.map(|tried| returns::decide(case, verdict, tried));
        let source = Source::new(capture, view.unmask).with_parts(parts);
        Ok(Self { source, devices, chosen, returning, view })
    }

    /// Notes sentences of the team's experience beside the verdict; they change nothing of it.
    pub fn note_experience(&mut self, sentences: Vec<String>) {
        let team = &mut self.devices[self.chosen].verdict.team;
        team.extend(sentences.into_iter().map(TeamLine::Experience));
    }

    /// Leaves commands out of the questions: those that a live run has sent already, or cannot send.
    pub fn leave_out(&mut self, is_left_out: impl Fn(&str) -> bool) {
        let asks = &mut self.devices[self.chosen].verdict.ask_next;
        for ask in asks.iter_mut() {
            ask.commands.retain(|command| !is_left_out(command));
        }
        asks.retain(|ask| !ask.commands.is_empty() || ask.question.is_some());
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
