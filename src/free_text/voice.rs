//! Who writes a line: a person in a sentence, or a machine (a kernel, a program's log, a status page).
//!
//! A sentence has the small words of a language between its other words; a log line begins with a mark of its own
//! or joins keys and values. Common practice, no source.

use crate::case::ReportedBy;
use crate::reference::word_lists::{List, words_of};

/// Who writes this line.
pub(super) fn of(line: &str) -> ReportedBy {
    if is_kernel(line) || begins_as_a_log(line) {
        return ReportedBy::Host;
    }
    // A number with letters is none of the words: `0x2A01`, `b3`.
    let words = line
        .split(|c: char| !(c.is_alphanumeric() || c == '\''))
        .filter(|word| !word.is_empty() && !word.bytes().any(|b| b.is_ascii_digit()));
    let (mut count, mut small) = (0, 0);
    for word in words {
        let is_small = words_of(List::SmallWord).iter().any(|s| s.eq_ignore_ascii_case(word))
            || word.trim_matches('\'').contains('\'');
        count += 1;
        small += usize::from(is_small);
    }
    let is_sentence = count >= 4 && (small >= 2 || small * 5 >= count);
    let pair = super::key_value::is_one_pair(line) && small <= 2;
    if (is_sentence || count >= 12 && small > 0) && !pair {
        ReportedBy::Person
    } else if pair || small == 0 {
        ReportedBy::Host
    } else {
        ReportedBy::Person
    }
}

/// Whether a line is a kernel's: its time in seconds in brackets, or the name of a bus or driver with its address.
pub(super) fn is_kernel(line: &str) -> bool {
    let line = line.trim_start();
    let stamped =
        line.strip_prefix('[').and_then(|rest| rest.split_once(']')).is_some_and(|(time, rest)| {
            let time = time.trim();
            rest.starts_with(' ')
                && time.split_once('.').is_some_and(|(seconds, parts)| {
                    parts.len() == 6
                        && !seconds.is_empty()
                        && seconds.bytes().chain(parts.bytes()).all(|b| b.is_ascii_digit())
                })
        });
    stamped || line.contains("kernel: ") || addressed(line).is_some()
}

/// The bus address that a kernel's line speaks of: `usb 1-1.2: …`, `option 1-1:1.0: …`.
pub(super) fn addressed(line: &str) -> Option<&str> {
    let mut words = line.split_ascii_whitespace().peekable();
    while let Some(word) = words.next() {
        let driver = word.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'))
            && word.starts_with(|c: char| c.is_ascii_lowercase());
        let Some(next) = words.peek().filter(|_| driver) else { continue };
        let address = next.trim_end_matches(':').split(':').next().unwrap_or(next);
        let numbered = address.split_once('-').is_some_and(|(bus, ports)| {
            !bus.is_empty()
                && bus.bytes().all(|b| b.is_ascii_digit())
                && !ports.is_empty()
                && ports.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        });
        if numbered && next.contains(':') {
            return Some(address);
        }
    }
    None
}

/// Whether a line begins as one of a log: a time, a level, a tag in brackets.
fn begins_as_a_log(line: &str) -> bool {
    let line = line.trim_start();
    let first = line.split([' ', '\t', ':', ']', ')', '>']).next().unwrap_or("");
    let bare = first.trim_start_matches(['[', '<', '(']).to_ascii_lowercase();
    let clock = bare.bytes().filter(u8::is_ascii_digit).count() >= 2
        && bare.bytes().all(|b| {
            b.is_ascii_digit() || matches!(b, b'-' | b'/' | b'.' | b'T' | b't' | b'z' | b'm' | b's')
        });
    let month =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
            .contains(&bare.as_str())
            && line.split_ascii_whitespace().nth(1).is_some_and(|day| day.parse::<u8>().is_ok());
    // `Mon 00:00:03 …`, `t=12.1 …`, `t+0004 …`, `boot+00:41 …`: a day's name, or a count since the start.
    let weekday = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"].contains(&bare.as_str())
        && line.split_ascii_whitespace().nth(1).is_some_and(|word| {
            word.contains(':') && word.starts_with(|c: char| c.is_ascii_digit())
        });
    let counted = ["t=", "t+", "boot+", "up="].iter().any(|mark| {
        line.strip_prefix(mark).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    });
    let tag = line.starts_with(['[', '<']) && line.contains([']', '>']);
    words_of(List::LogLevel).contains(&bare.as_str())
        || clock && line.len() > first.len() + 1
        || month
        || tag
        || weekday
        || counted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_a_persons() {
        for line in [
            "The modem sits in limited service since Monday.",
            "I think it is denied",
            "we get no service here at all",
            "my card is not detected",
        ] {
            assert_eq!(of(line), ReportedBy::Person, "{line}");
        }
    }

    #[test]
    fn logs_pages_and_kernels_are_machines() {
        for line in [
            "[   12.123456] usb 1-1.2: USB disconnect, device number 6",
            "option 2-1:1.0: device disconnected",
            "Jan  4 10:00:01 host prog[7]: the SIM is not inserted",
            "SIM status: absent",
            "  Card state: 'present'",
            "Wed 04:30:01 hut wan: resetting modem (rule: 30 min without service)",
            "<err> modem: No SIM card detected!",
            "No SIM card detected!",
        ] {
            assert_eq!(of(line), ReportedBy::Host, "{line}");
        }
        assert_eq!(addressed("option 2-1.4:1.0: device disconnected"), Some("2-1.4"));
        assert_eq!(addressed("a date 2-1 it was"), None);
    }
}
