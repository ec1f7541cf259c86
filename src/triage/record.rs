//! One record of a stream: a JSON object on a line with the site, the time and the captured text.
//!
//! Lines are bytes. Whatever a line holds, it becomes a record or a sentence that says why not, together with the
//! site and the time as far as they can be read.

use serde::Deserialize;
use serde_json::{Map, Value};
use std::borrow::Cow;

/// What was captured at one site at one time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record<'b> {
    /// Where and when.
    pub place: Place,
    /// What the modem said; `None` where the site was asked and gave nothing.
    pub text: Option<Cow<'b, str>>,
}

/// Where and when a text was captured, in the words of whoever captured it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Place {
    /// The name or number of the site as it was given; `null` where there is none.
    pub site: Value,
    /// The time as it was given; RFC 3339 where it is to be compared.
    pub at: Value,
    /// The site's own tags, such as its depot or its kind of supply.
    pub tags: Vec<(String, String)>,
    /// Latitude and longitude, WGS 84, degrees north and east.
    pub position: Option<(f64, f64)>,
}

/// A line that is no record.
#[derive(Clone, Debug, PartialEq)]
pub struct Unusable {
    /// The site and the time, as far as they could be read.
    pub place: Place,
    /// Why the line is no record.
    pub why: String,
}

#[derive(Deserialize)]
struct Line<'b> {
    #[serde(default)]
    site: Value,
    #[serde(default)]
    at: Value,
    #[serde(borrow, default)]
    text: Option<Cow<'b, str>>,
    #[serde(default)]
    tags: Map<String, Value>,
    #[serde(default)]
    latitude: Option<f64>,
    #[serde(default)]
    longitude: Option<f64>,
}

/// So many characters of what a reader says about a broken line are kept.
const WHY: usize = 160;

impl<'b> Record<'b> {
    /// Reads a line, with or without its end.
    ///
    /// # Errors
    ///
    /// [`Unusable`] where the line is no JSON object of this form.
    #[expect(
        clippy::result_large_err,
        reason = "lines are read one at a time; the size matters little"
    )]
    pub fn parse(line: &'b [u8]) -> Result<Self, Unusable> {
        let line = line.strip_suffix(b"\n").unwrap_or(line);
        if line.trim_ascii().is_empty() {
            let why = "the line is empty".into();
            return Err(Unusable { place: Place::default(), why });
        }
        let text = std::str::from_utf8(line).map_err(|error| {
            let why = format!("the record is not UTF-8 from byte {} on", error.valid_up_to() + 1);
            Unusable { place: salvaged(&String::from_utf8_lossy(line)), why }
        })?;
        if !text.trim_start().starts_with('{') {
            let why = "the line is no record: it is no JSON object".into();
            return Err(Unusable { place: Place::default(), why });
        }
        let read: Line<'b> = serde_json::from_str(text).map_err(|error| {
            let why: String = error.to_string().chars().take(WHY).collect();
            // A stream has one record a line, so only the column tells something.
            let why = why.replace(" at line 1 column ", " at byte ");
            Unusable { place: salvaged(text), why: format!("the line is no record: {why}") }
        })?;
        let place = Place {
            site: simple(read.site),
            at: simple(read.at),
            tags: read.tags.iter().filter_map(|(name, v)| Some((name.clone(), word(v)?))).collect(),
            position: read.latitude.zip(read.longitude).filter(|p| on_earth(*p)),
        };
        Ok(Self { place, text: read.text })
    }
}

/// Whether a latitude and a longitude are ones.
pub(super) fn on_earth((latitude, longitude): (f64, f64)) -> bool {
    latitude.abs() <= 90.0 && longitude.abs() <= 180.0
}

/// The site and the time of a line that is no record, where it is at least an object.
fn salvaged(text: &str) -> Place {
    let Ok(Value::Object(mut object)) = serde_json::from_str(text) else {
        return Place::default();
    };
    let mut take = |name| simple(object.remove(name).unwrap_or_default());
    Place { site: take("site"), at: take("at"), ..Place::default() }
}

/// A text or a number as it is; anything else is no name and no time.
fn simple(value: Value) -> Value {
    match value {
        Value::String(_) | Value::Number(_) => value,
        _ => Value::Null,
    }
}

/// The value of a tag as a word.
fn word(value: &Value) -> Option<String> {
    match value {
        Value::String(word) => Some(word.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.into()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_read_with_its_tags_and_its_position() {
        let line = br#"{"site":"weir-7","at":"2026-05-04T06:00:00Z","text":"AT+CSQ\r\n+CSQ: 17,99\r\nOK","tags":{"depot":"north","mains":true,"list":[1]},"latitude":-48.2,"longitude":-12.4}"#;
        let record = Record::parse(line).unwrap();
        assert_eq!(record.place.site, "weir-7");
        assert_eq!(record.text.unwrap(), "AT+CSQ\r\n+CSQ: 17,99\r\nOK");
        let tags: Vec<_> =
            record.place.tags.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        assert_eq!(tags, [("depot", "north"), ("mains", "yes")]);
        assert_eq!(record.place.position, Some((-48.2, -12.4)));
    }

    #[test]
    fn a_broken_line_says_why_and_keeps_its_site() {
        let why = |line: &[u8]| Record::parse(line).unwrap_err();
        assert_eq!(why(b"\r\n").why, "the line is empty");
        let error = why(b"{\"site\":\"a\",\"at\":3,\"text\":\"\xff\"}\n");
        assert_eq!(error.why, "the record is not UTF-8 from byte 28 on");
        assert_eq!((error.place.site, error.place.at), ("a".into(), 3.into()));
        let error = why(br#"{"site":"a","text":5}"#);
        assert!(
            error.why.contains("invalid type") && error.why.contains("at byte"),
            "{}",
            error.why
        );
        assert_eq!(error.place.site, "a");
        assert!(why(b"{\"site\":\"a\",").why.starts_with("the line is no record: EOF"));
        assert!(Record::parse(b"[1]").is_err() && Record::parse(b"null").is_err());
    }

    #[test]
    fn what_is_no_name_or_no_place_is_left_out() {
        let record =
            Record::parse(br#"{"site":{"x":1},"text":null,"latitude":99,"longitude":0}"#).unwrap();
        assert_eq!(record, Record::default());
    }
}
