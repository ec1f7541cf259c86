//! What becomes of a clean dialogue when it is pasted badly: nothing.

use mastside::capture::{Capture, decode};
use mastside::case::Case;
use proptest::prelude::*;

const CLEAN: &str = "AT+CPIN?\n+CPIN: READY\n\nOK\nAT+CEREG?\n+CEREG: 2,2,\"0A11\",\"0003A2B1\",7\n\nOK\n\
    AT+CESQ\n+CESQ: 99,99,255,255,21,48\n\nOK\nAT+COPS?\n+COPS: 0\n\nOK\n";

/// The readings and registrations, without where they stand.
fn facts(text: &str) -> String {
    let case = Case::read(&Capture::new(text));
    let readings: Vec<_> = case.radio.readings.current().iter().map(|o| &o.value).collect();
    let states: Vec<_> = case
        .registration
        .states
        .values()
        .map(|h| h.current().iter().map(|o| o.value.stat).collect::<Vec<_>>())
        .collect();
    format!("{readings:?} {states:?}")
}

#[test]
fn the_clean_dialogue_says_something() {
    assert!(facts(CLEAN).contains("Rsrp"));
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused_without_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        if let Ok(text) = decode(&bytes) {
            let _ = Case::read(&Capture::new(&text));
        }
    }

    #[test]
    fn line_ends_quotes_and_time_marks_change_no_fact(
        end in prop::sample::select(vec!["\n", "\r\n", "\r\r\n", "\n\n"]),
        mark in prop::sample::select(vec!["", "> ", "  ", "\t", "[12:34:56.789] ", "12:34:56 "]),
    ) {
        let pasted: String = CLEAN.lines().map(|l| format!("{mark}{l}{end}")).collect();
        prop_assert_eq!(facts(&pasted), facts(CLEAN), "{:?} {:?}", mark, end);
    }

    #[test]
    fn a_line_that_came_by_itself_changes_no_other_fact(at in 0usize..16) {
        let mut lines: Vec<_> = CLEAN.lines().collect();
        lines.insert(at.min(lines.len()), "+CTZV: 8");
        prop_assert_eq!(facts(&lines.join("\n")), facts(CLEAN));
    }
}
