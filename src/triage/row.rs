//! The row that answers a record: the verdict in few words, what the modem and its cell are, or why there is none.
//!
//! Names and meanings are a contract; the form has a version. Every text in it is masked unless asked otherwise.

use super::record::Place;
use chrono::{DateTime, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// The version of the form of a row.
pub const FORMAT: u8 = 1;

/// The answer to one record.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "TriageRow")]
pub struct Row {
    /// The site, as the record names it.
    #[serde(default)]
    pub site: Value,
    /// The time of the capture, as the record gives it.
    #[serde(default)]
    pub at: Value,
    /// The id of the root cause as `layer/cause`, or `connected`, or `unclear`; `null` if the record could not be used.
    #[serde(default)]
    pub finding: Option<String>,
    /// The listed id that a finer finding is a case of.
    #[serde(default)]
    pub kind_of: Option<String>,
    /// How certain the finding is: `certain`, `likely` or `possible`.
    #[serde(default)]
    pub certainty: Option<String>,
    /// Who can act first: `installer`, `carrier`, `account-holder`, `maker` or `nobody`.
    #[serde(default)]
    pub acts: Option<String>,
    /// The finding in one sentence.
    #[serde(default)]
    pub summary: Option<String>,
    /// Why the record could not be used; `null` if it was.
    #[serde(default)]
    pub error: Option<String>,
    /// The version of this form.
    #[serde(default)]
    pub format: u8,
    /// Whether the site was asked and gave nothing: the record has no text, or only blanks.
    #[serde(default)]
    pub unreachable: bool,
    /// The line that shows the finding best.
    #[serde(default)]
    pub evidence: Option<RowEvidence>,
    /// What the modem, its card and its cell are, and the site's own tags (`tag:` before their names).
    #[serde(default)]
    pub attributes: BTreeMap<String, String>,
    /// The latest levels of the serving cell, by the names of their quantities.
    #[serde(default)]
    pub levels: BTreeMap<String, f64>,
    /// Latitude of the site, WGS 84, degrees north.
    #[serde(default)]
    pub latitude: Option<f64>,
    /// Longitude of the site, WGS 84, degrees east.
    #[serde(default)]
    pub longitude: Option<f64>,
}

/// A line of the captured text.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RowEvidence {
    /// The number of the line, from 1.
    pub line: usize,
    /// The part of the line.
    pub text: String,
    /// What it means.
    pub says: String,
}

impl Row {
    /// A row of this place without an answer yet.
    pub fn of(place: &Place) -> Self {
        let (latitude, longitude) = place.position.unzip();
        let tags = place.tags.iter();
        Self {
            site: place.site.clone(),
            at: place.at.clone(),
            format: FORMAT,
            attributes: tags.map(|(name, word)| (format!("tag:{name}"), word.clone())).collect(),
            latitude,
            longitude,
            ..Self::default()
        }
    }

    /// A row that says why there is no answer.
    pub fn unusable(place: &Place, why: impl Into<String>) -> Self {
        Self { error: Some(why.into()), ..Self::of(place) }
    }

    /// The site as a word; `None` where the record names none.
    pub fn site_name(&self) -> Option<String> {
        match &self.site {
            Value::String(name) if !name.trim().is_empty() => Some(name.clone()),
            Value::Number(number) => Some(number.to_string()),
            _ => None,
        }
    }

    /// The time of the capture: RFC 3339, or seconds since 1970 as a number.
    pub fn time(&self) -> Option<DateTime<Utc>> {
        match &self.at {
            Value::String(text) => Some(DateTime::parse_from_rfc3339(text.trim()).ok()?.to_utc()),
            Value::Number(seconds) => DateTime::from_timestamp(seconds.as_i64()?, 0),
            _ => None,
        }
    }

    /// The row as one line of JSON with its end.
    pub fn line(&self) -> String {
        // A row holds no map with keys that JSON lacks, so writing it cannot fail.
        let mut line = serde_json::to_string(self).unwrap_or_default();
        line.push('\n');
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_back() {
        let place = Place {
            site: "lock 3\n".into(),
            at: "2026-05-04T06:00:00+02:00".into(),
            tags: vec![("depot".into(), "north".into())],
            position: Some((-48.2, -12.4)),
        };
        let row = Row::unusable(&place, "the line is empty");
        let line = row.line();
        assert_eq!(line.matches('\n').count(), 1, "{line}");
        assert!(line.starts_with(r#"{"site":"lock 3\n","at":"2026-05-04T06:00:00+02:00","finding":null,"kind_of":null,"certainty":null,"acts":null,"summary":null,"error":"the line is empty""#), "{line}");
        assert_eq!(serde_json::from_str::<Row>(&line).unwrap(), row);
        assert_eq!(row.time().unwrap().to_rfc3339(), "2026-05-04T04:00:00+00:00");
        assert_eq!(row.attributes["tag:depot"], "north");
    }
}
