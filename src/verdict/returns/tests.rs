//! Tests of the decision on a return.

use super::*;
use crate::capture::Capture;

fn decision(text: &str) -> Decision {
    let case = Case::read(&Capture::new(text));
    decide(&case, &super::super::explain(&case), &[])
}

#[test]
fn what_was_tried_outside_of_the_text_counts_where_the_text_does_not_speak_against_it() {
    let case = Case::read(&Capture::new("AT\nAT\nAT\nAT"));
    let verdict = super::super::explain(&case);
    let tried = |left_out: &str| -> Vec<String> {
        NAMES.iter().filter(|n| **n != left_out).map(|n| (*n).to_owned()).collect()
    };
    let all = decide(&case, &verdict, &tried(""));
    assert_eq!(all.advice, Advice::Yes, "{}", all.sentence);
    assert!(all.sentence.contains("lies in the hardware"), "{}", all.sentence);
    assert!(all.for_the_maker.contains("12 of 12") && all.for_the_maker.contains("11 of them"));
    let port = all.checks.iter().find(|c| c.name == "port").unwrap();
    assert!(matches!(port.state, State::Found(_)), "the text says otherwise");
    let without = decide(&case, &verdict, &tried("swap"));
    assert_eq!(without.advice, Advice::NotYet);
    assert!(without.sentence.contains("Swap once each way"), "{}", without.sentence);
    let unclear = Case::read(&Capture::new("AT\nOK"));
    let nothing = decide(&unclear, &super::super::explain(&unclear), &tried(""));
    assert_eq!(nothing.advice, Advice::NotYet);
    assert!(nothing.sentence.contains("shows no fault"), "{}", nothing.sentence);
    let searching = Case::read(&Capture::new("AT+CEREG?\n+CEREG: 0,2\nOK"));
    let still = decide(&searching, &super::super::explain(&searching), &tried(""));
    assert_eq!(still.advice, Advice::Yes);
    assert!(still.sentence.contains("everything around the device"), "{}", still.sentence);
}

#[test]
fn a_device_that_works_or_a_refusing_network_is_no_reason_to_send_it_back() {
    assert_eq!(decision("AT+CEREG?\n+CEREG: 0,1\nOK").advice, Advice::No);
    assert_eq!(decision("AT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK").advice, Advice::No);
    assert_eq!(decision("AT+CFUN?\n+CFUN: 4\nOK").advice, Advice::No);
}

#[test]
fn several_checks_are_clear_together_only_where_none_is_open() {
    let clear = || State::Clear(None);
    let found = || {
        State::Found(Evidence {
            span: crate::span::Span::new(0, 1),
            says: "x".into(),
            by: ReportedBy::Modem,
        })
    };
    for (states, wanted) in [
        (vec![], "open"),
        (vec![clear(), clear()], "clear"),
        (vec![clear(), State::Open], "open"),
        (vec![State::Open, found(), clear()], "trouble"),
    ] {
        assert_eq!(join(states.into_iter()).word(), wanted);
    }
}

#[test]
fn a_silent_port_leaves_things_to_try() {
    let decision = decision("AT\nAT\nAT\nAT");
    assert_eq!(decision.advice, Advice::NotYet);
    assert!(decision.checks.iter().any(|c| matches!(c.state, State::Found(_))));
}

#[test]
fn a_missing_pin_or_a_permission_is_no_reason_to_send_it_back_whatever_was_tried() {
    let all: Vec<String> = NAMES.iter().map(|n| (*n).to_owned()).collect();
    for text in ["AT+CPIN?\n+CPIN: SIM PIN\nOK", "cat: /dev/ttyUSB2: Permission denied"] {
        let case = Case::read(&Capture::new(text));
        let decision = decide(&case, &super::super::explain(&case), &all);
        assert_eq!(decision.advice, Advice::No, "{text}: {}", decision.sentence);
    }
}

#[test]
fn a_word_that_the_text_contradicts_is_named_and_a_failed_reset_is_none() {
    let tried = ["card".to_owned(), "supply".to_owned()];
    let case = Case::read(&Capture::new("AT+CPIN?\n+CME ERROR: 13\nOK\n"));
    let decision = decide(&case, &super::super::explain(&case), &tried);
    assert!(decision.sentence.contains("`card` was named as tried"), "{}", decision.sentence);
    assert!(!decision.sentence.contains("`supply`"), "{}", decision.sentence);
    let defaults = |text: &str| {
        let case = Case::read(&Capture::new(text));
        let decision = decide(&case, &super::super::explain(&case), &[]);
        decision.checks.iter().find(|c| c.name == "defaults").unwrap().state.word()
    };
    assert_eq!(defaults("AT&F\nOK\n"), "clear");
    assert_eq!(defaults("AT&F\nERROR\n"), "open");
}
