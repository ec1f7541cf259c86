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

#[test]
fn a_refused_setting_is_followed_by_its_own_read() {
    for (text, read) in [
        ("AT+CPIN=\"0000\"\nERROR\n", "AT+CPIN?"),
        ("AT+CFUN=1\nERROR\nAT+CPIN?\n+CPIN: READY\nOK\n", "AT+CFUN?"),
        ("AT+CGATT=1\n+CME ERROR: 148\n", "AT+CEER"),
        ("AT+CGDCONT=4,\"IPV4V6\",\"gauge.example\"\n+CME ERROR: 3\n", "AT+CGDCONT=?"),
    ] {
        assert!(block(text).contains(&read), "{text}: {:?}", block(text));
    }
}

#[test]
fn a_read_without_a_response_or_overtaken_by_a_setting_is_asked_again() {
    let silent = block("AT\nOK\nAT+CEREG?\nAT+CPIN?\n+CPIN: READY\nOK\n");
    assert!(silent.contains(&"AT+CEREG?"), "{silent:?}");
    let entered = block("AT+CPIN?\n+CPIN: SIM PIN\nOK\nAT+CPIN=\"0000\"\nOK\n");
    assert!(entered.contains(&"AT+CPIN?"), "{entered:?}");
    let set = block("AT+CFUN=1\nOK\nAT+CPIN?\n+CPIN: READY\nOK\n");
    assert!(!set.contains(&"AT+CFUN?"), "{set:?}");
}

#[test]
fn the_setting_of_a_reject_cause_stands_before_its_read_and_never_alone() {
    for text in [
        "AT+CREG?\n+CREG: 0,2\nOK\nAT+CREG?\n+CREG: 0,2\nOK\n",
        "AT+CEREG?\n+CEREG: 0,8\nOK\n",
        "AT+CREG?\n+CREG: 0,3\nOK\n",
        "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n",
    ] {
        let asks = explain(&Case::read(&Capture::new(text))).ask_next;
        let commands: Vec<_> = asks.into_iter().flat_map(|a| a.commands).collect();
        let at = |c: &str| commands.iter().position(|known| *known == c);
        let set = at("AT+CEREG=3").expect(text);
        assert_eq!(commands[set + 1], "AT+CEREG?", "{text}: {commands:?}");
        assert_eq!(commands.iter().filter(|c| **c == "AT+CEREG?").count(), 1, "{commands:?}");
    }
}

#[test]
fn a_step_that_the_text_makes_worthless_is_left_out() {
    let automatic =
        explain(&Case::read(&Capture::new("AT+COPS?\n+COPS: 0\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n")));
    assert_eq!(automatic.id(), "registration/idle");
    assert!(automatic.remedies.iter().all(|r| !r.commands.iter().any(|c| c == "AT+COPS=0")));
    let refused = explain(&Case::read(&Capture::new(
        "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,0\nOK\nAT+CGACT=1,1\n+CME ERROR: 148\n",
    )));
    assert!(refused.remedies.iter().all(|r| !r.commands.iter().any(|c| c == "AT+CGACT=1,1")));
}

#[test]
fn a_state_of_the_first_seconds_says_how_early_it_is() {
    let text = "[10:00:01] RDY\n[10:00:01] AT+CPIN?\n[10:00:01] +CPIN: READY\n[10:00:01] OK\n\
                [10:00:09] AT+CEREG?\n[10:00:09] +CEREG: 0,2\n[10:00:09] OK\n";
    let early = explain(&Case::read(&Capture::new(text)));
    assert!(early.summary.contains("only 8 seconds"), "{}", early.summary);
    let late = explain(&Case::read(&Capture::new(&text.replace("10:00:09", "10:04:09"))));
    assert!(!late.summary.contains("seconds"), "{}", late.summary);
    let asked = explain(&Case::read(&Capture::new(&text.replace("[10:00:01] RDY\n", ""))));
    assert!(
        !asked.summary.contains("seconds"),
        "it may have searched for hours: {}",
        asked.summary
    );
}

#[test]
fn a_setting_that_reads_back_differently_is_said() {
    let text = "AT+QCFG=\"nwscanmode\",3,1\nOK\nAT+COPS=0\nOK\nAT+QCFG=\"nwscanmode\"\n\
                +QCFG: \"nwscanmode\",0\nOK\n";
    let verdict = explain(&Case::read(&Capture::new(text)));
    let said = |v: &Verdict| v.remarks.iter().any(|r| r.text.contains("was set to 3 and reads 0"));
    assert!(said(&verdict), "{:?}", verdict.remarks);
    let kept = explain(&Case::read(&Capture::new(&text.replace("\",0", "\",3"))));
    assert!(!said(&kept));
}

#[test]
fn what_the_host_ordered_in_the_end_is_not_the_cause() {
    let text = "AT+CFUN=1\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\nAT+CFUN=4\nOK\n+CEREG: 0\n";
    let verdict = explain(&Case::read(&Capture::new(text)));
    assert_eq!(verdict.id(), "registration/denied");
    assert_eq!(verdict.ask_next[0].commands, ["AT+CEREG=3", "AT+CEREG?"], "{:?}", verdict.ask_next);
}

#[test]
fn a_start_in_the_middle_of_a_dialogue_is_no_connection() {
    let text = "AT+CPIN?\n+CPIN: READY\nOK\nAT+CGREG?\nRDY\n+CFUN: 1\n+CGREG: 0,1\nOK\n\
                AT+CEREG?\n+CEREG: 0,1\nOK\n";
    assert_eq!(finding(text), "device/restarts");
    let ordered = text.replace("AT+CGREG?", "AT+CFUN=1,1");
    assert_ne!(finding(&ordered), "device/restarts");
}
