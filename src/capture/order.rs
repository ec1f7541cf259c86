//! The order in which the lines of a text were written, where it is not the order on the page: logs
//! with the newest line first, sessions with dates out of order, mail whose quotes are older.

use super::item::{Item, Kind};
use super::mapped::lines;
use super::sentence::words;
use super::stamp::{self, Stamp};
use super::{log_marks, mail, search};
use std::ops::Range;

/// A longer text is one recording: it has no sessions out of order and no quotes of mail, and its beginning and its end
/// tell whether its newest line is first.
const LONGEST: usize = 200_000;

/// The parts of a text from the oldest to the newest; the whole where it is in order.
pub(super) fn parts(text: &str) -> Vec<Range<usize>> {
    let long = text.len() > LONGEST;
    if !long || both_ends_go_down(text) {
        let records = records(text);
        if is_newest_first(&records) {
            return records.into_iter().rev().map(|(range, _)| range).collect();
        }
        if long {
            return std::iter::once(0..text.len()).collect();
        }
        if let Some(turned) = turned_dialogue(text) {
            return turned;
        }
        let parts = by_date(&records).or_else(|| by_quote(text)).or_else(|| mail::by_letter(text));
        if let Some(parts) = parts {
            return parts;
        }
    }
    std::iter::once(0..text.len()).collect()
}

/// The lines of a text, each with a time together with those without one behind it.
fn records(text: &str) -> Vec<(Range<usize>, Option<Stamp>)> {
    let mut records: Vec<(Range<usize>, Option<Stamp>)> = Vec::new();
    for range in lines(text) {
        let line = &text[range.clone()];
        let at = stamp::find(&line[..log_marks::length(line)]);
        match records.last_mut() {
            Some((record, _)) if at.is_none() => record.end = range.end,
            _ => records.push((range, at)),
        }
    }
    records
}

/// Whether the times of a long text go down at its beginning and at its end.
fn both_ends_go_down(text: &str) -> bool {
    let head = text.floor_char_boundary(LONGEST / 2);
    let tail = text.ceil_char_boundary(text.len().saturating_sub(LONGEST / 2));
    [&text[..head], &text[tail..]].into_iter().all(|part| is_newest_first(&records(part)))
}

/// Whether times go down from line to line, but for a few.
fn is_newest_first(records: &[(Range<usize>, Option<Stamp>)]) -> bool {
    let stamps: Vec<Stamp> = records.iter().filter_map(|(_, at)| *at).collect();
    let of_one_form = stamps.windows(2).filter(|p| p[0].date.is_some() == p[1].date.is_some());
    let (mut up, mut down) = (0, 0);
    for pair in of_one_form {
        up += usize::from(pair[0] < pair[1]);
        down += usize::from(pair[0] > pair[1]);
    }
    // At midnight a time without a date jumps once the other way.
    down >= 3 && up * 10 <= down || down == 2 && up == 0
}

/// The lines of a dialogue from the last to the first, where every command stands below its own response.
fn turned_dialogue(text: &str) -> Option<Vec<Range<usize>>> {
    let all: Vec<Range<usize>> = lines(text).collect();
    let shown = || all.iter().map(|range| &text[range.clone()]).filter(|l| !l.trim().is_empty());
    // A dialogue in order does not end with a command.
    if !shown().next_back()?.contains("AT") {
        return None;
    }
    let names: Vec<(Kind, &str)> = shown().filter_map(first_name).collect();
    let answers = |a: &(Kind, &str), b: &(Kind, &str)| {
        a.0 == Kind::Command && b.0 == Kind::Prefixed && a.1.eq_ignore_ascii_case(b.1)
    };
    let above = names.windows(2).filter(|p| answers(&p[1], &p[0])).count();
    let below = names.windows(2).filter(|p| answers(&p[0], &p[1])).count();
    (above >= 2 && below == 0).then(|| all.into_iter().rev().collect())
}

/// The kind of the first item of a line, and its name: `+CREG` of `AT+CREG?` and of `+CREG: 0,1`.
fn first_name(line: &str) -> Option<(Kind, &str)> {
    let mut found: Vec<Item> = Vec::new();
    search::find(line, &mut found);
    let item = *found.first()?;
    let name = match item.kind {
        Kind::Prefixed => &line[item.start..item.prefix_end],
        _ => line[item.text_at..item.end].trim_end_matches(['?', '=']).split('=').next()?,
    };
    Some((item.kind, name))
}

/// Sessions in the order of their dates, where they are not; a clock that a start has reset tells
/// nothing.
fn by_date(records: &[(Range<usize>, Option<Stamp>)]) -> Option<Vec<Range<usize>>> {
    const DAYS: i64 = 400;
    let mut sessions: Vec<(Range<usize>, Option<Stamp>)> = Vec::new();
    let mut last: Option<Stamp> = None;
    for (range, at) in records {
        if let Some(at) = at {
            at.date?;
            if last.is_none_or(|last| *at < last) {
                sessions.push((range.clone(), Some(*at)));
            }
            last = Some(*at);
        } else if sessions.is_empty() {
            sessions.push((range.clone(), None));
        }
        sessions.last_mut()?.0.end = range.end;
    }
    let dates = || sessions.iter().filter_map(|(_, at)| at.and_then(|at| at.date));
    let near = (dates().max()? - dates().min()?).num_days() <= DAYS;
    // Lines of one log may change places within a second: those are no sessions.
    if !near || sessions.is_sorted_by_key(|(_, at)| *at) || sessions.len() * 4 > records.len() {
        return None;
    }
    sessions.sort_by_key(|(_, at)| *at);
    Some(sessions.into_iter().map(|(range, _)| range).collect())
}

/// The quotes of mail before what was written above or below them, the deepest first.
fn by_quote(text: &str) -> Option<Vec<Range<usize>>> {
    let depths = lines(text).map(|range| (depth(&text[range.clone()]), range));
    let mut blocks: Vec<(usize, Range<usize>)> = Vec::new();
    for (depth, range) in depths {
        match blocks.last_mut() {
            Some((last, block)) if *last == depth => block.end = range.end,
            _ => blocks.push((depth, range)),
        }
    }
    if blocks.len() < 2 || !is_mail(text, &blocks) {
        return None;
    }
    blocks.sort_by_key(|(depth, _)| std::cmp::Reverse(*depth));
    Some(blocks.into_iter().map(|(_, range)| range).collect())
}

/// How many quote marks stand before a line.
fn depth(line: &str) -> usize {
    let marks = line.bytes().take_while(|b| matches!(b, b'>' | b' ' | b'\t'));
    marks.filter(|b| *b == b'>').count()
}

/// Whether the marks are those of quotes, and no prompt or direction.
fn is_mail(text: &str, blocks: &[(usize, Range<usize>)]) -> bool {
    let directed = |line: &str| line.trim_start().starts_with(['<', '«']) || line.contains(">>> ");
    if lines(text).any(|line| directed(&text[line])) {
        return false;
    }
    let kinds = |block: &Range<usize>| -> Vec<Kind> {
        let mut found: Vec<Item> = Vec::new();
        for line in lines(&text[block.clone()]) {
            search::find(&text[block.clone()][line], &mut found);
        }
        found.iter().map(|item| item.kind).collect()
    };
    let mut is_quote = false;
    for (n, (depth, block)) in blocks.iter().enumerate() {
        if *depth == 0 {
            continue;
        }
        let said = kinds(block);
        let asks = said.contains(&Kind::Command);
        let answers = said.iter().any(|kind| *kind != Kind::Command);
        let follows = blocks.get(n + 1).map(|(_, next)| kinds(next)).unwrap_or_default();
        let precedes = n.checked_sub(1).map(|n| kinds(&blocks[n].1)).unwrap_or_default();
        let response = |kind: Option<&Kind>| kind.is_some_and(|kind| *kind != Kind::Command);
        // What a prompt's or a direction's mark stands before goes on without it.
        if asks && !answers && response(follows.first())
            || answers && !asks && precedes.last() == Some(&Kind::Command)
        {
            return false;
        }
        let above = n.checked_sub(1).and_then(|n| text[blocks[n].1.clone()].lines().last());
        let attributed =
            above.is_some_and(|line| line.trim_end().ends_with(':') && words(line) > 1);
        let sentence = text[block.clone()].lines().any(|line| words(line) >= 4);
        is_quote |= attributed || sentence || asks && answers;
    }
    is_quote
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ordered(text: &str) -> Vec<&str> {
        parts(text)
            .into_iter()
            .flat_map(|part| text[part].lines())
            .filter(|l| !l.is_empty())
            .collect()
    }

    #[test]
    fn a_log_with_the_newest_line_first_is_turned() {
        let log = "12:00:04 RX: OK\n12:00:03 RX: +CEREG: 0,1\n12:00:03 TX: AT+CEREG?\n12:00:01 RX: +CEREG: 3\n";
        let turned: Vec<&str> = log.lines().rev().collect();
        assert_eq!(ordered(log), turned);
        assert_eq!(ordered(&turned.join("\n")), turned);
    }

    #[test]
    fn a_dialogue_whose_commands_stand_below_their_responses_is_turned() {
        let log = "OK\n+CEREG: 0,1\nAT+CEREG?\nOK\n+CFUN: 4\nAT+CFUN?\n";
        let turned: Vec<&str> = log.lines().rev().collect();
        assert_eq!(ordered(log), turned);
        assert_eq!(ordered(&turned.join("\n")), turned);
        let polled = "AT+CSQ\n+CSQ: 17,99\nAT+CSQ\n+CSQ: 18,99\nAT+CSQ\n";
        assert_eq!(ordered(polled), polled.lines().collect::<Vec<_>>());
    }

    #[test]
    fn lines_without_a_time_stay_behind_the_one_before() {
        let log = "12:00:03 AT+CEREG?\n+CEREG: 0,1\nOK\n12:00:02 AT+CSQ\n+CSQ: 17,99\nOK\n12:00:01 AT\nOK\n";
        assert_eq!(
            ordered(log),
            [
                "12:00:01 AT",
                "OK",
                "12:00:02 AT+CSQ",
                "+CSQ: 17,99",
                "OK",
                "12:00:03 AT+CEREG?",
                "+CEREG: 0,1",
                "OK"
            ]
        );
    }

    #[test]
    fn a_long_log_is_turned_by_its_two_ends() {
        let line = |n: usize| {
            format!("2026-03-04 {:02}:{:02}:{:02} fan at {n}\n", n / 3600, n / 60 % 60, n % 60)
        };
        let text: String = (0..20_000).rev().map(line).collect();
        assert!(text.len() > LONGEST);
        assert_eq!(ordered(&text)[0], line(0).trim_end());
        let text: String = (0..20_000).map(line).collect();
        assert_eq!(parts(&text), std::iter::once(0..text.len()).collect::<Vec<_>>());
    }

    #[test]
    fn midnight_and_a_clock_set_back_change_nothing() {
        for log in [
            "23:59:58 AT\n23:59:59 OK\n00:00:01 AT\n00:00:02 OK\n",
            "2026-03-04 10:00:00 AT\n2026-03-04 10:00:01 OK\n2026-03-04 10:00:02 AT\n2026-03-04 10:00:03 RDY\n1980-01-06 00:00:01 AT\n1980-01-06 00:00:02 OK\n1980-01-06 00:00:03 AT\n1980-01-06 00:00:04 OK\n",
        ] {
            assert_eq!(ordered(log), log.lines().collect::<Vec<_>>());
        }
    }

    #[test]
    fn sessions_stand_in_the_order_of_their_dates() {
        let session = |day: usize| -> Vec<String> {
            (0..5).map(|n| format!("2026-03-{day:02} 10:00:0{n} x{n}")).collect()
        };
        let (old, new) = (session(4), session(5));
        let text = [new.clone(), old.clone()].concat().join("\n");
        assert_eq!(ordered(&text), [old, new].concat());
    }

    #[test]
    fn a_deeper_quote_is_older() {
        let mail = "Now it works:\n+CEREG: 0,1\nOK\n\nAnn wrote:\n> it searched before\n> +CEREG: 0,2\n>> and refused at first\n>> +CEREG: 0,3\n";
        assert_eq!(
            ordered(mail),
            [
                ">> and refused at first",
                ">> +CEREG: 0,3",
                "> it searched before",
                "> +CEREG: 0,2",
                "Now it works:",
                "+CEREG: 0,1",
                "OK",
                "Ann wrote:"
            ]
        );
    }

    #[test]
    fn prompts_and_directions_are_no_quotes() {
        for text in [
            "> AT+CREG?\n+CREG: 0,1\nOK\n> AT+CSQ\n+CSQ: 17,99\nOK\n",
            "> AT+CREG?\n< +CREG: 0,1\n< OK\nit says this all the time now\n",
            "AT+CREG?\n> +CREG: 0,1\n> OK\nAT+CSQ\n> +CSQ: 17,99\n",
            "> AT+CREG?\n> +CREG: 0,1\n> OK\n",
        ] {
            assert_eq!(ordered(text), text.lines().collect::<Vec<_>>(), "{text}");
        }
    }
}
