//! Time stamps that terminals and loggers put before a line.

use super::mapped::Edits;
use std::ops::Range;

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};

/// A time of day, with its date where one stands beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stamp {
    /// The date, where written.
    pub date: Option<NaiveDate>,
    /// The time of day.
    pub time: NaiveTime,
}

impl Stamp {
    /// Seconds from `earlier` to this; over midnight where no dates stand. Never negative.
    pub fn seconds_since(self, earlier: Self) -> f64 {
        let day = NaiveDate::default();
        let at = |s: Self| NaiveDateTime::new(s.date.unwrap_or(day), s.time);
        let both = self.date.is_some() == earlier.date.is_some();
        let mut gap = (at(self) - at(earlier)).num_milliseconds();
        if !both || self.date.is_none() {
            gap = (self.time - earlier.time).num_milliseconds().rem_euclid(86_400_000);
        }
        gap.max(0) as f64 / 1000.0
    }
}

/// So far into a line's marks a time is looked for.
const MARKS: usize = 96;

/// The first time of day in a line's marks: `HH:MM:SS`, with or without a fraction and a date, or `HH:MM`.
pub(super) fn find(marks: &str) -> Option<Stamp> {
    locate(marks).map(|(stamp, _)| stamp)
}

/// Where the time of day stands in a line's marks, its fraction with it.
fn place(marks: &str) -> Option<Range<usize>> {
    locate(marks).map(|(_, place)| place)
}

fn locate(marks: &str) -> Option<(Stamp, Range<usize>)> {
    let bytes = &marks.as_bytes()[..marks.len().min(MARKS)];
    memchr::memchr_iter(b':', bytes).find_map(|colon| {
        let at = colon.checked_sub(2)?;
        // A time does not begin within a number.
        let before = at.checked_sub(1).map(|i| bytes[i]);
        let inside = before.is_some_and(|b| b.is_ascii_digit());
        let (time, len) = time_of_day(bytes.get(at..)?).filter(|_| !inside)?;
        // Without seconds it is no part of a longer one.
        if len == 5
            && before.is_some_and(|b| !matches!(b, b' ' | b'\t' | b'[' | b'(' | b'T' | b'|'))
        {
            return None;
        }
        let date = date_before(marks.get(..at)?);
        Some((Stamp { date, time }, at..at + len))
    })
}

/// The time of day that begins here, and its length: `HH:MM:SS` with at most nine more digits, or `HH:MM`.
fn time_of_day(bytes: &[u8]) -> Option<(NaiveTime, usize)> {
    let two = |at: usize| -> Option<u32> {
        let pair = bytes.get(at..at + 2)?;
        let digit = |b: u8| b.is_ascii_digit().then(|| u32::from(b - b'0'));
        Some(digit(pair[0])? * 10 + digit(pair[1])?)
    };
    if bytes.get(2) != Some(&b':') {
        return None;
    }
    if bytes.get(5) != Some(&b':') {
        // `10:02`, with a blank or a bracket behind it.
        let ends = matches!(bytes.get(5), Some(b' ' | b'\t' | b']' | b')' | b'|'));
        let time = NaiveTime::from_hms_opt(two(0)?, two(3)?, 0).filter(|_| ends)?;
        return Some((time, 5));
    }
    let (hour, minute, second) = (two(0)?, two(3)?, two(6)?);
    let behind = bytes.get(9..).filter(|_| matches!(bytes[8], b'.' | b',' | b':'));
    let digits = behind.unwrap_or_default().iter().take(9).take_while(|b| b.is_ascii_digit());
    let fraction: Vec<u32> = digits.map(|b| u32::from(b - b'0')).collect();
    let milli = (0..3).fold(0, |sum, n| sum * 10 + fraction.get(n).copied().unwrap_or(0));
    let len = if fraction.is_empty() { 8 } else { 9 + fraction.len() };
    Some((NaiveTime::from_hms_milli_opt(hour, minute, second, milli)?, len))
}

/// Whether a time of day begins here, with or without its date.
pub(super) fn begins(text: &str) -> bool {
    let dated = text.get(..10).is_some_and(|date| date_before(date).is_some());
    let time = if dated { text.get(11..).unwrap_or_default() } else { text };
    time_of_day(time.as_bytes()).is_some()
}

/// Leaves of a line's marks nothing but the time, in brackets.
pub(super) fn keep_only(text: &str, marks: Range<usize>, edits: &mut Edits<'_>) {
    match place(&text[marks.clone()]) {
        Some(time) => {
            edits.replace(marks.start..marks.start + time.start, "[");
            edits.replace(marks.start + time.end..marks.end, "] ");
        }
        None => edits.remove(marks),
    }
}

/// `2026-03-04`, `2026/03/04` just before the time.
fn date_before(head: &str) -> Option<NaiveDate> {
    let head = head.trim_end_matches([' ', 'T', '_']);
    let written = head.get(head.len().checked_sub(10)?..)?;
    ["%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y", "%d/%m/%Y"]
        .iter()
        .find_map(|form| NaiveDate::parse_from_str(written, form).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_forms_are_read() {
        let time = |s: &str| find(s).map(|t| t.time.format("%H:%M:%S%.3f").to_string());
        assert_eq!(time("[12:00:01.123] AT").unwrap(), "12:00:01.123");
        assert_eq!(time("2026-03-04 16:51:07,785 : DEBUG").unwrap(), "16:51:07.785");
        assert_eq!(time("09:11:06 -> AT").unwrap(), "09:11:06.000");
        assert_eq!(time("[10:02] +CREG: 1").unwrap(), "10:02:00.000");
        assert_eq!(time("10:02 AT").unwrap(), "10:02:00.000");
        assert_eq!(time("10:02x"), None);
        assert_eq!(time("+CREG: 0,1"), None);
        assert_eq!(time("99:99:99 x"), None);
        let dated = find("2026-03-04T16:51:07Z x").unwrap();
        assert_eq!(dated.date, NaiveDate::from_ymd_opt(2026, 3, 4));
    }

    #[test]
    fn a_time_at_the_end_of_long_marks_is_read_or_left() {
        for blanks in 0..MARKS + 20 {
            for text in ["12:00:01.123", "12:00:01", "12:00:", "12:00:01."] {
                let marks = format!("[{}{text}", "·".repeat(blanks));
                if let Some(stamp) = find(&marks) {
                    assert_eq!(stamp.time.format("%H:%M:%S").to_string(), "12:00:01");
                }
            }
        }
    }

    #[test]
    fn a_number_with_colons_before_the_time_is_none() {
        let time = |s: &str| find(s).map(|t| t.time.to_string());
        assert_eq!(time("port:1:12:00:01 "), Some("12:00:01".into()));
        assert_eq!(time("112:00:01"), None);
        assert_eq!(time("2001:db8:0::1"), None);
    }

    #[test]
    fn a_gap_over_midnight_is_small() {
        let late = find("23:59:59").unwrap();
        let early = find("00:00:01").unwrap();
        assert!((early.seconds_since(late) - 2.0).abs() < 1e-9);
    }
}
