//! Spans of time and sizes as arguments: `30s`, `7d`, `16M`.

use std::time::Duration;

/// A span: a number with `ms`, `s`, `min`, `h` or `d`.
pub(super) fn span(text: &str) -> Result<Duration, String> {
    let (number, unit) = parts(text)?;
    let seconds = match unit {
        "ms" => 0.001,
        "s" => 1.0,
        "min" => 60.0,
        "h" => 3600.0,
        "d" => 86_400.0,
        _ => return Err("write a number with ms, s, min, h or d, as in 30s or 7d".into()),
    };
    let span = Duration::try_from_secs_f64(number * seconds).map_err(|e| e.to_string())?;
    if span.is_zero() { Err("a span of nothing".into()) } else { Ok(span) }
}

/// A size in bytes: a number with `k`, `M` or `G` (powers of 1000).
pub(super) fn size(text: &str) -> Result<u64, String> {
    let (number, unit) = parts(text)?;
    let bytes = match unit {
        "" => 1.0,
        "k" => 1e3,
        "M" => 1e6,
        "G" => 1e9,
        _ => return Err("write a number of bytes with k, M or G, as in 16M".into()),
    };
    let all = number * bytes;
    if !(1.0..=1e18).contains(&all) {
        return Err("no size that a file can have".into());
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 1e18")]
    Ok(all as u64)
}

fn parts(text: &str) -> Result<(f64, &str), String> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let number =
        text[..end].parse().map_err(|_| format!("{text:?} does not begin with a number"))?;
    Ok((number, text[end..].trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_and_sizes_have_their_units() {
        assert_eq!(span("30s"), Ok(Duration::from_secs(30)));
        assert_eq!(span("1.5h"), Ok(Duration::from_mins(90)));
        assert_eq!(span("7d"), Ok(Duration::from_hours(168)));
        assert_eq!(size("16M"), Ok(16_000_000));
        assert_eq!(size("900"), Ok(900));
        for wrong in ["", "s", "30", "-1s", "0s", "1e99d", "1..2s", "9y"] {
            assert!(span(wrong).is_err(), "{wrong}");
        }
        for wrong in ["", "M", "0", "1T", "-5k", "0.1"] {
            assert!(size(wrong).is_err(), "{wrong}");
        }
    }
}
