//! Whole verdicts over small texts: the order of causes, health, and honest silence.

use super::*;
use crate::capture::Capture;

fn finding(text: &str) -> &'static str {
    explain(&Case::read(&Capture::new(text))).id()
}

#[test]
fn an_attached_modem_is_attached_whatever_it_said_earlier() {
    assert_eq!(
        finding("+CEREG: 0,3\nOK\n+CEREG: 0,2\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK"),
        "connected"
    );
}

#[test]
fn the_lowest_cause_explains_the_symptoms_above_it() {
    assert_eq!(
        finding("AT+CPIN?\n+CME ERROR: 10\nAT+CSQ\n+CSQ: 99,99\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK"),
        "card/not-detected"
    );
    assert_eq!(
        finding("AT+CFUN?\n+CFUN: 4\nOK\nAT+CSQ\n+CSQ: 99,99\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK"),
        "device/radio-off"
    );
}

#[test]
fn the_networks_own_reason_outweighs_a_guess_from_levels() {
    let text = "AT+CESQ\n+CESQ: 99,99,255,255,4,18\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK";
    assert_eq!(finding(text), "registration/subscriber");
}

#[test]
fn a_session_reason_explains_the_attach_that_it_spoiled() {
    let text = "AT+CEREG?\n+CEREG: 3,3,,,,0,19\nOK\nAT+CEER\n+CEER: ESM cause 27\nOK";
    assert_eq!(finding(text), "bearer/apn-unknown");
}

#[test]
fn too_little_is_told_as_too_little_with_a_question() {
    for text in ["AT+CSQ\n+CSQ: 18,99\nOK", "AT\nOK", "hello", "AT+CREG?\n+CREG: 0,1\nOK"] {
        let verdict = explain(&Case::read(&Capture::new(text)));
        assert_eq!(verdict.id(), "unclear", "{text}");
        assert!(!verdict.ask_next.is_empty(), "{text}");
    }
}

#[test]
fn a_refusal_without_its_reason_is_asked_for_its_reason_first() {
    let verdict = explain(&Case::read(&Capture::new("AT+CEREG?\n+CEREG: 0,3\nOK")));
    assert_eq!(verdict.ask_next[0].commands, ["AT+CEREG=3", "AT+CEREG?"]);
    assert_eq!(verdict.ask_next[1].commands, ["AT+CEER"]);
}

#[test]
fn questions_use_the_command_set_that_the_text_shows() {
    let text =
        "AT+QCSQ\n+QCSQ: \"NOSERVICE\"\nOK\nAT+CPIN?\n+CPIN: READY\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK";
    let asked: Vec<_> = explain(&Case::read(&Capture::new(text)))
        .ask_next
        .into_iter()
        .flat_map(|a| a.commands)
        .collect();
    assert!(asked.contains(&"AT+QENG=\"servingcell\""), "{asked:?}");
    assert!(!asked.contains(&"AT+CPSI?"), "{asked:?}");
}

#[test]
fn a_bare_error_is_asked_again_in_words() {
    let asks = explain(&Case::read(&Capture::new("AT+CPIN?\nERROR\n"))).ask_next;
    assert_eq!(asks[0].commands, ["AT+CMEE=2", "AT+CPIN?"]);
}

#[test]
fn short_messages_alone_ask_for_the_data_domain() {
    let asks = explain(&Case::read(&Capture::new("AT+CREG?\n+CREG: 0,6\nOK"))).ask_next;
    assert_eq!(asks[0].commands, ["AT+CEREG?"]);
}

#[test]
fn what_a_further_text_settled_is_told_by_name() {
    let first = super::explain(&Case::read(&Capture::new("AT+CEREG?\n+CEREG: 0,2\nOK\n")));
    let both = "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+CPINR=\"SIM PIN\"\n+CPINR: SIM PIN,3,3\nOK\n";
    let mut later = super::explain(&Case::read(&Capture::new(both)));
    later.note_progress(&first);
    assert_eq!(
        later.remarks.last().unwrap().text,
        "The last text settled 1 cause that was open before it (card/pin-attempts-low); before it the finding was registration/searching."
    );
    later.note_progress(&later.clone());
    assert_eq!(
        later.remarks.last().unwrap().text,
        "The last text settled nothing that was open before it."
    );
}

/// The commands of the first block.
fn block(text: &str) -> Vec<&'static str> {
    let asks = explain(&Case::read(&Capture::new(text))).ask_next;
    asks.into_iter().filter(|a| !a.if_not_enough).flat_map(|a| a.commands).collect()
}

#[test]
fn at_most_three_commands_are_asked_first_and_two_after_them() {
    for text in [
        "AT\nOK",
        "AT+CSQ\n+CSQ: 18,99\nOK",
        "AT+CEREG?\n+CEREG: 0,2\nOK",
        "AT+CEREG?\n+CEREG: 0,3\nOK",
        "AT+CREG?\n+CREG: 0,1\nOK",
        "AT+CPIN?\nERROR\n",
    ] {
        let asks = explain(&Case::read(&Capture::new(text))).ask_next;
        let count = |later: bool| {
            asks.iter()
                .filter(|a| a.if_not_enough == later)
                .map(|a| a.commands.len())
                .sum::<usize>()
        };
        assert!((1..=3).contains(&count(false)) && count(true) <= 2, "{text}: {asks:?}");
    }
}

#[test]
fn nothing_is_asked_that_was_answered_or_refused() {
    let asked =
        block("AT+CPIN?\n+CPIN: READY\nOK\nAT+CSQ\n+CSQ: 18,99\nOK\nAT+CEREG?\n+CME ERROR: 100\n");
    assert!(!asked.is_empty());
    for known in ["AT+CPIN?", "AT+CSQ", "AT+CEREG?"] {
        assert!(!asked.contains(&known), "{asked:?}");
    }
}

#[test]
fn a_2g_module_is_not_asked_for_lte() {
    for text in [
        "AT+CGMM\nSIM800\nOK\nAT+CREG?\n+CREG: 0,2\nOK",
        "AT+CGMM\nSIM800\nOK\nAT+CREG?\n+CREG: 0,3\nOK",
        "AT+CGMM\nSIM800\nOK",
    ] {
        let asks = explain(&Case::read(&Capture::new(text))).ask_next;
        let commands: Vec<_> = asks.iter().flat_map(|a| &a.commands).collect();
        assert!(commands.contains(&&"AT+CGREG?"), "{text}: {commands:?}");
        assert!(!commands.iter().any(|c| c.contains("CEREG")), "{text}: {commands:?}");
    }
}

#[test]
fn a_5g_modem_is_asked_for_the_cause_of_its_own_system() {
    let asked = block("AT+C5GREG?\n+C5GREG: 0,3\nOK\nAT+CPIN?\n+CPIN: READY\nOK");
    assert_eq!(asked[..2], ["AT+C5GREG=3", "AT+C5GREG?"], "{asked:?}");
}
