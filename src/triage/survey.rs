//! A survey file as one record: its last sample judged by the same rules as any other text.

use super::attributes;
use super::judge::Judge;
use super::record::{Place, on_earth};
use super::row::{Row, RowEvidence};
use crate::case::{Case, Cell, Domain, Fact, Quantity, Registration, ReportedBy};
use crate::rules::Site;
use crate::span::Span;
use crate::survey::file::Lines;
use crate::survey::sample::{Line, Sample};
use crate::verdict::Verdict;
use std::path::Path;

/// The row of a survey file; `place` is that of the file, for what the survey itself does not say.
pub(super) fn row(judge: &Judge<'_>, path: &Path, mut place: Place) -> Row {
    let mut lines = match Lines::open(path) {
        Ok(lines) => lines,
        Err(error) => return Row::unusable(&place, error.to_string()),
    };
    let mut last: Option<(u64, Sample)> = None;
    while let Some(line) = lines.next() {
        if let Ok(Line::Sample(sample)) = line {
            last = Some((lines.number(), sample));
        }
    }
    let head = lines.head;
    if !head.site.name.is_empty() {
        place.site = head.site.name.into();
    }
    let Some((number, sample)) = last else {
        return Row::unusable(&place, "the survey has no sample");
    };
    place.at = sample.at.to_rfc3339().into();
    let here = sample.position.map(|p| (p.latitude, p.longitude));
    place.position = head.site.latitude.zip(head.site.longitude).or(here).filter(|p| on_earth(*p));
    let case = case(&sample);
    let verdict = Verdict::reach(&Site::with(&case, None, judge.basis.profiles));
    let mut row = Row::of(&place);
    row.finding = Some(verdict.id().into());
    row.kind_of = verdict.root().and_then(|j| j.rule.kind_of).map(|listed| listed.id.into());
    row.certainty = Some(verdict.certainty.word().into());
    row.acts = Some(verdict.acts.word().into());
    row.summary = Some(verdict.summary.clone());
    row.evidence = verdict.root().and_then(|j| j.evidence().first()).map(|evidence| RowEvidence {
        line: usize::try_from(number).unwrap_or(0),
        text: format!("sample {}", sample.number),
        says: evidence.says.to_string(),
    });
    attributes::add(&case, str::to_owned, &mut row);
    row
}

/// What a sample says.
fn case(sample: &Sample) -> Case {
    let mut case = Case::default();
    let mut add = |fact| case.add(fact, Span::new(0, 0), None, ReportedBy::Modem);
    if let Some(stat) = sample.registration {
        add(Fact::Registration(Registration {
            domain: Domain::Eps,
            stat,
            act: None,
            unsolicited: false,
        }));
    }
    let levels = &sample.levels;
    for (quantity, value) in [
        (Quantity::Rsrp, levels.rsrp_dbm),
        (Quantity::Rsrq, levels.rsrq_db),
        (Quantity::Sinr, levels.sinr_db),
        (Quantity::Rssi, levels.rssi_dbm),
    ] {
        if let Some(value) = value {
            add(Fact::number(quantity, value, Cell::Serving));
        }
    }
    case
}
