//! What can be received at a place, as a survey, a neighbour list or somebody's phone shows it: bands and technologies.
//!
//! ```text
//! heard   00101 (LTE b3 -89 dBm), 00102 (LTE b20 -97 dBm)
//!   - {plmn: "001-01", rat: lte, band: 1, earfcn: 300, rsrp: -92}
//! ```

use super::bands::named;
use super::scope::has;
use super::settings::technologies_in;
use super::words::split;
use crate::case::{Fact, Facts, Rat};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Bands and technologies that were heard, of all lines together.
#[derive(Debug, Default)]
pub(super) struct Heard {
    bands: Vec<u16>,
    technologies: Vec<Rat>,
    at: Option<Span>,
}

impl Heard {
    /// Notes a scan that found nothing: `scan finished, 0 networks`.
    pub(super) fn scan(lower: &str, base: usize, facts: &mut Facts) {
        if !has(lower, &["scan", "search"]) {
            return;
        }
        let words = split(lower, |c| c.is_ascii_alphanumeric());
        let empty = words.windows(2).find(|pair| {
            matches!(pair[0].text, "0" | "no")
                && matches!(pair[1].text, "networks" | "network" | "cells" | "operators")
        });
        let ended = has(lower, &["finished", "done", "complete", "result", "found", "ended"]);
        if let Some([first, last]) = empty.filter(|_| ended) {
            facts.push(Fact::Scan(Vec::new()), Span::new(base + first.start, base + last.end));
        }
    }

    /// Reads a line in small letters; `listed` where it stands under a heading of such a list.
    pub(super) fn read(&mut self, lower: &str, base: usize, listed: bool) {
        if !listed && !has(lower, words_of(List::Heard)) {
            return;
        }
        // A list of cells has numbers that were measured or received beside its bands.
        let measured = ["dbm", "rsrp", "earfcn", "plmn", "rssi"].iter().any(|w| lower.contains(w));
        if !measured && (!listed || has(lower, &["no", "none", "nothing", "not"])) {
            return;
        }
        let bands = named(lower);
        if bands.is_empty() {
            return;
        }
        for (band, _) in bands {
            self.band(band, Span::new(base, base + lower.trim_end().len()));
        }
        // Numbers of bands and channels without another name are those of LTE.
        let named = technologies_in(lower);
        for rat in if named.is_empty() { vec![Rat::Lte] } else { named } {
            self.technology(rat);
        }
    }

    /// Notes a band, and where it was heard.
    pub(super) fn band(&mut self, band: u16, span: Span) {
        if !self.bands.contains(&band) {
            self.bands.push(band);
        }
        self.at.get_or_insert(span);
    }

    /// Notes a technology.
    pub(super) fn technology(&mut self, rat: Rat) {
        if !self.technologies.contains(&rat) {
            self.technologies.push(rat);
        }
    }

    /// Hands over what was heard.
    pub(super) fn finish(&self, facts: &mut Facts) {
        let Some(at) = self.at else { return };
        facts.push(Fact::HeardBands(self.bands.clone()), at);
        if !self.technologies.is_empty() {
            facts.push(Fact::HeardTechnologies(self.technologies.clone()), at);
        }
    }
}
