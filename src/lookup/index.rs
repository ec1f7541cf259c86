//! `index` and `level`: the level of a printed index, and what a level means in the trade.

use super::{Answer, Found, Problem};
use crate::reference::index::{Shape, map, maps};
use crate::reference::levels;
use crate::reference::rates::{self, Cqi};
use serde_json::Value;

/// The level of an index of a map.
///
/// # Errors
///
/// [`Problem`] where there is no such map or index.
pub fn index(name: &str, number: &str) -> Found {
    if name.eq_ignore_ascii_case("cqi") {
        return channel_quality(number);
    }
    let Some(map) = map(name) else {
        let names: Vec<_> = maps().iter().map(|m| m.name).collect();
        return Err(Problem::new(format!(
            "there is no index map `{name}`; there are {}, cqi",
            names.join(", ")
        )));
    };
    let last = map.last;
    let Ok(n) = number.trim().parse::<u16>() else {
        return Err(Problem::new(format!(
            "`{number}` is no index; {} has 0 to {last}, and {} for unknown",
            map.name, map.unknown
        )));
    };
    let input = format!("{} {n}", map.name);
    let unit = map.unit;
    if n == map.unknown && n > last {
        return Ok(Answer::new("index", input, format!("{} {n}: not known or not detectable (no value, which is not the same as no signal)", map.name))
            .field("map", map.name)
            .field("index", n)
            .field("value", Value::Null)
            .field("unit", unit)
            .field("unknown", true)
            .field("meaning", "not known or not detectable")
            .source(map.source));
    }
    let Some((range, level, words)) =
        map.range(n).zip(map.level(n)).zip(map.words(n)).map(|((r, l), w)| (r, l, w))
    else {
        return Err(Problem::new(format!(
            "{} has no index {n}: 0 to {last}, and {} for unknown",
            map.name, map.unknown
        ))
        .near(last));
    };
    let edge = |e: Option<f64>| e.map_or(Value::Null, Into::into);
    let judged = levels::judge(trade_name(map.name), level);
    let mut answer = Answer::new("index", input, format!("{} {n}: {words}", map.name))
        .field("map", map.name)
        .field("command", map.command)
        .field("index", n)
        .field("value", level)
        .field("unit", unit)
        .field("low", edge(range.low))
        .field("high", edge(range.high))
        .field("unknown", false)
        .field("meaning", words)
        .field("open", range.low.is_none() || range.high.is_none())
        .line("printed by", format!("{}, field {}", map.command, map.field));
    answer = match unit {
        "dBm" => answer.field("dbm", level),
        "dB" => answer.field("db", level),
        _ => answer,
    };
    if map.shape == Shape::Step {
        answer = answer.line("counted as", format!("{level} {unit}, the lower edge of its step"));
    }
    if let Some(judged) = judged {
        answer = answer.field("judgement", judged.judgement).line(
            "in the trade",
            format!("{}: {} ({})", judged.judgement, judged.words, judged.source),
        );
    }
    Ok(answer.source(map.source))
}

/// What a channel quality indicator asks of the cell: modulation and efficiency by either table.
fn channel_quality(number: &str) -> Found {
    let rows: Vec<_> = number.trim().parse().into_iter().flat_map(rates::cqi).collect();
    let Some(first) = rows.first() else {
        return Err(Problem::new(format!(
            "`{number}` is no channel quality indicator; it has 1 to 15, and 0 for out of range"
        )));
    };
    let words = |row: &rates::Cqi| {
        let Cqi { modulation, rate_1024, efficiency, .. } = row;
        format!("{modulation}, code rate {rate_1024}/1024, {efficiency} bits a resource element")
    };
    let title = format!("cqi {}: {}", first.index, words(first));
    let answer = Answer::new("index", format!("cqi {}", first.index), title)
        .field("map", "cqi")
        .field("index", first.index)
        .field("efficiency", first.efficiency);
    let answer = rows.iter().fold(answer, |a, row| a.line(row.table, words(row)));
    Ok(answer.source(first.source))
}

/// The quantity of the threshold table for an index map.
fn trade_name(map: &str) -> &str {
    if map == "csq" { "rssi" } else { map }
}

/// What a level means in the trade, per the editable table.
///
/// # Errors
///
/// [`Problem`] where there is no such quantity or the text is no level.
pub fn level(quantity: &str, text: &str) -> Found {
    let plain = quantity.to_ascii_lowercase().replace('_', "-");
    if !levels::quantities().contains(&plain.as_str()) {
        return Err(Problem::new(format!(
            "there are no thresholds for `{quantity}`; there are some for {}",
            levels::quantities().join(", ")
        )));
    }
    let number = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    let Some((level, range)) = number
        .replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|l| l.is_finite() && l.abs() <= 200.0)
        .and_then(|l| Some((l, levels::judge(&plain, l)?)))
    else {
        return Err(Problem::new(format!("`{text}` is no level; write it as in `level rsrp -98`")));
    };
    let edge = |e: Option<f64>| e.map_or(Value::Null, Into::into);
    let answer = Answer::new(
        "level",
        format!("{plain} {level}"),
        format!("{plain} {level} {}: {}", range.unit, range.judgement),
    )
    .field("quantity", plain.clone())
    .field("value", level)
    .field("unit", range.unit)
    .field("judgement", range.judgement)
    .both("meaning", "meaning", range.words)
    .field("low", edge(range.low))
    .field("high", edge(range.high))
    .field("clause", range.source)
    .line("source", range.source);
    Ok(match map(&plain) {
        Some(map) => answer.field("index", map.index_of(level)).line(
            "as an index",
            format!("{} in {}, field {}", map.index_of(level), map.command, map.field),
        ),
        None => answer,
    })
}
