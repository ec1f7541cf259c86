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

/// The first time of day in the head of a line: `HH:MM:SS`, with or without a fraction and a date.
pub(super) fn find(head: &str) -> Option<Stamp> {
    let bytes = head.as_bytes();
    let upto = bytes.len().min(64);
    let colon = memchr::memchr(b':', &bytes[..upto])?;
    let at = colon.checked_sub(2)?;
    let two = |i: usize| -> Option<u32> {
        let pair = bytes.get(i..i + 2)?;
        pair.iter()
            .all(u8::is_ascii_digit)
            .then(|| u32::from(pair[0] - b'0') * 10 + u32::from(pair[1] - b'0'))
    };
    if bytes.get(at + 5) != Some(&b':') {
        return None;
    }
    let (hour, minute, second) = (two(at)?, two(at + 3)?, two(at + 6)?);
    let mut milli = 0;
    if matches!(bytes.get(at + 8), Some(b'.' | b',' | b':')) {
        let digits = bytes[at + 9..upto].iter().take(3).take_while(|b| b.is_ascii_digit()).count();
        if digits > 0 {
            let value: u32 = head.get(at + 9..at + 9 + digits)?.parse().ok()?;
            milli = value * 10u32.pow(3 - u32::try_from(digits).ok()?);
        }
    }
    let time = NaiveTime::from_hms_milli_opt(hour, minute, second, milli)?;
    Some(Stamp { date: date_before(head.get(..at)?), time })
}

/// Where the time of day stands in the head of a line, its fraction with it.
pub(super) fn place(head: &str) -> Option<Range<usize>> {
    find(head)?;
    let start = head.find(':')?.checked_sub(2)?;
    let rest = head.get(start..)?;
    let len = rest.bytes().take_while(|b| b.is_ascii_digit() || matches!(b, b':' | b'.')).count();
    Some(start..start + len)
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
        assert_eq!(time("+CREG: 0,1"), None);
        assert_eq!(time("99:99:99 x"), None);
        let dated = find("2026-03-04T16:51:07Z x").unwrap();
        assert_eq!(dated.date, NaiveDate::from_ymd_opt(2026, 3, 4));
    }

    #[test]
    fn a_gap_over_midnight_is_small() {
        let late = find("23:59:59").unwrap();
        let early = find("00:00:01").unwrap();
        assert!((early.seconds_since(late) - 2.0).abs() < 1e-9);
    }
}
