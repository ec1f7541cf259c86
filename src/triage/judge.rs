//! From a record to its row: the one explanation of a text, told in few words. A panic inside costs its own row only.

use super::attributes;
use super::record::{Place, Record};
use super::row::{Row, RowEvidence};
use super::survey;
use crate::capture::decode;
use crate::explanation::{Basis, Explanation, View};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

/// What all records of a run are held against.
#[derive(Clone, Copy, Debug)]
pub struct Judge<'a> {
    /// Profiles, carrier and team.
    pub basis: Basis<'a>,
    /// How much is shown.
    pub view: View,
}

impl Judge<'_> {
    /// The row of a line of JSON.
    pub fn line(&self, line: &[u8]) -> Row {
        guarded(
            || match Record::parse(line) {
                Ok(Record { place, text: Some(text) }) => self.bytes(&place, text.as_bytes()),
                Ok(Record { place, text: None }) => unreachable_site(&place),
                Err(unusable) => Row::unusable(&unusable.place, unusable.why),
            },
            || Record::parse(line).map_or_else(|unusable| unusable.place, |record| record.place),
        )
    }

    /// The row of a text in whatever encoding.
    pub fn capture(&self, place: &Place, bytes: &[u8]) -> Row {
        guarded(|| self.bytes(place, bytes), || place.clone())
    }

    /// The row of a survey file.
    pub fn survey(&self, path: &Path, place: Place) -> Row {
        guarded(|| survey::row(self, path, place.clone()), || place.clone())
    }

    fn bytes(&self, place: &Place, bytes: &[u8]) -> Row {
        if bytes.trim_ascii().is_empty() {
            return unreachable_site(place);
        }
        match decode(bytes) {
            Ok(text) => self.text(place, &text),
            Err(error) => Row::unusable(place, error.to_string()),
        }
    }

    fn text(&self, place: &Place, text: &str) -> Row {
        let explanation = match Explanation::of(text, Vec::new(), &self.basis, self.view) {
            Ok(explanation) => explanation,
            Err(error) => return Row::unusable(place, error.to_string()),
        };
        let (case, verdict) = (explanation.case(), explanation.verdict());
        let source = &explanation.source;
        let mut row = Row::of(place);
        row.finding = Some(verdict.id().into());
        row.kind_of = verdict.root().and_then(|j| j.rule.kind_of).map(|listed| listed.id.into());
        row.certainty = Some(verdict.certainty.word().into());
        row.acts = Some(verdict.acts.word().into());
        row.summary = Some(source.word(&verdict.summary));
        row.evidence = explanation.evidence().first().map(|evidence| {
            let extract = source.extract(evidence.span);
            RowEvidence {
                line: extract.place.line,
                text: extract.marked().into(),
                says: source.word(&evidence.says),
            }
        });
        attributes::add(case, |word| source.word(word), &mut row);
        row
    }
}

/// A site that was asked and gave nothing.
fn unreachable_site(place: &Place) -> Row {
    let why = "the record has no text: nothing came from the site";
    Row { unreachable: true, ..Row::unusable(place, why) }
}

/// Runs `answer`; where it panics, the row of `place` says so, and what it said.
fn guarded(answer: impl FnOnce() -> Row, place: impl FnOnce() -> Place) -> Row {
    catch_unwind(AssertUnwindSafe(answer)).unwrap_or_else(|panic| {
        let what = panic
            .downcast_ref::<String>()
            .map(String::as_str)
            .or_else(|| panic.downcast_ref::<&str>().copied())
            .unwrap_or("no reason given");
        let place = catch_unwind(AssertUnwindSafe(place)).unwrap_or_default();
        Row::unusable(&place, format!("the program failed on this record: {what}"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carrier::ProfileStore;

    fn row(line: &str) -> Row {
        let profiles = ProfileStore::shipped();
        let basis = Basis::of(&profiles);
        Judge { basis, view: View::default() }.line(line.as_bytes())
    }

    #[test]
    fn a_row_says_the_cause_who_acts_and_what_the_modem_is() {
        let row = row(
            r#"{"site":"weir","at":"2026-05-04T06:00:00Z","text":"AT+CGMM\r\nG2\r\nOK\r\nAT+CPIN?\r\n+CPIN: SIM PIN\r\nOK\r\n"}"#,
        );
        assert_eq!(row.finding.as_deref(), Some("card/pin-required"));
        assert_eq!(row.acts.as_deref(), Some("installer"));
        assert_eq!(row.certainty.as_deref(), Some("certain"));
        assert_eq!(row.error, None);
        assert_eq!(
            row.evidence.as_ref().map(|e| (e.line, e.text.as_str())),
            Some((5, "+CPIN: SIM PIN"))
        );
        assert_eq!(row.attributes.get("model").map(String::as_str), Some("G2"));
    }

    #[test]
    fn identities_are_hidden_in_a_row() {
        let line = r#"{"site":"weir","text":"AT+CIMI\r\n001010123456789\r\nOK\r\nAT+CCID\r\n+CCID: 8988211000000000017\r\nOK\r\nAT+CPIN?\r\n+CPIN: READY\r\nOK\r\n"}"#;
        let written = row(line).line();
        assert!(
            !written.contains("001010123456789") && !written.contains("8988211000000000017"),
            "{written}"
        );
    }

    #[test]
    fn nothing_from_the_site_is_unreachable_and_noise_is_unusable() {
        let silent = row(r#"{"site":"weir","text":" \r\n"}"#);
        assert!(silent.unreachable && silent.error.is_some() && silent.finding.is_none());
        let noise = r"\u0001\u0002\u0003".repeat(100);
        let binary = row(&format!(r#"{{"site":"weir","text":"{noise}"}}"#));
        assert!(!binary.unreachable && binary.error.unwrap().contains("binary"));
    }

    #[test]
    fn a_panic_costs_one_row_and_the_row_keeps_its_site() {
        let place = Place { site: "weir".into(), ..Place::default() };
        let row = guarded(|| panic!("index {} out of bounds", 3), || place);
        assert_eq!(row.site, "weir");
        assert_eq!(
            row.error.as_deref(),
            Some("the program failed on this record: index 3 out of bounds")
        );
    }
}
