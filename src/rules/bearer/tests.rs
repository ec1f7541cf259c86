//! Which context, and which name: what several rules of the layer say of one text.

use crate::capture::Capture;
use crate::case::Case;
use crate::verdict::explain;

fn finding(text: &str) -> &'static str {
    explain(&Case::read(&Capture::new(text))).id()
}

const NAMED_FIRST: &str = "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\n";

/// The forms of TS 27.007 §10.1.10, §10.1.12, §10.2.1.1.
#[test]
fn a_session_on_a_context_without_a_name_is_on_the_wrong_one() {
    for attempt in
        ["ATD*99***3#\nNO CARRIER\n", "AT+CGACT=1,2\nERROR\n", "AT+CGDATA=\"PPP\",4\nERROR\n"]
    {
        assert_eq!(
            finding(&format!("{NAMED_FIRST}{attempt}")),
            "bearer/wrong-context",
            "{attempt}"
        );
    }
    for attempt in ["ATD*99***1#\nNO CARRIER\n", "ATD*99#\nNO CARRIER\n", "AT+CGACT=1,1\nERROR\n"] {
        assert_eq!(finding(&format!("{NAMED_FIRST}{attempt}")), "bearer/inactive", "{attempt}");
    }
}

#[test]
fn a_context_that_is_defined_and_whose_name_is_hidden_is_not_without_one() {
    for defined in
        ["AT+CGDCONT=2,\"IP\",\"****\"\nOK\n", "AT+CGACT?\n+CGACT: 1,0\n+CGACT: 2,0\nOK\n"]
    {
        let text = format!("{NAMED_FIRST}{defined}AT+CGACT=1,2\n+CME ERROR: 133\n");
        assert_eq!(finding(&text), "bearer/not-subscribed", "{defined}");
    }
}

const NAMED_THIRD: &str = "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"\",\"0.0.0.0\",0,0\n+CGDCONT: 2,\"IP\",\"ims\",\"0.0.0.0\",0,0\n\
    +CGDCONT: 3,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\n";

#[test]
fn the_only_name_on_an_idle_context_matters_once_something_fails() {
    let up = format!("{NAMED_THIRD}AT+CGACT?\n+CGACT: 1,1\n+CGACT: 3,0\nOK\n");
    assert_eq!(finding(&up), "connected");
    assert_eq!(finding(&format!("{up}ping 192.0.2.7: 100% packet loss\n")), "bearer/wrong-context");
    let placeholder = up.replace("1,\"IP\",\"\"", "1,\"IP\",\"name.invalid\"");
    assert_eq!(
        finding(&format!("{placeholder}ping 192.0.2.7: 100% packet loss\n")),
        "bearer/wrong-context"
    );
    let used = format!(
        "{NAMED_THIRD}AT+CGACT?\n+CGACT: 1,1\n+CGACT: 3,1\nOK\nping 192.0.2.7: 100% packet loss\n"
    );
    assert_eq!(finding(&used), "path/no-traffic", "the named context is open");
    let two = up.replace("\"ims\"", "\"other.example\"");
    assert_eq!(
        finding(&format!("{two}ping 192.0.2.7: 100% packet loss\n")),
        "path/no-traffic",
        "two names"
    );
}

/// TS 23.060 annex A.2: without a name the subscription's own is taken.
#[test]
fn a_refusal_of_a_session_without_a_name_is_for_want_of_one() {
    let text = |name: &str, cause: u16| {
        format!(
            "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"{name}\",\"0.0.0.0\",0,0\nOK\nAT+CGACT=1,1\n+CME ERROR: {cause}\n"
        )
    };
    for (name, cause, wanted) in [
        ("", 133, "bearer/apn-blank"),
        ("", 127, "bearer/apn-blank"),
        ("gauge.example", 133, "bearer/not-subscribed"),
        ("gauge.example", 127, "bearer/apn-unknown"),
        ("", 132, "bearer/network-refused"),
        ("", 129, "bearer/credentials"),
    ] {
        assert_eq!(finding(&text(name, cause)), wanted, "{name:?} {cause}");
    }
}

#[test]
fn a_name_that_is_meant_and_not_set_is_missing() {
    let text = "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"\",\"0.0.0.0\",0,0\nOK\nAT+CGACT=1,1\nERROR\nThe letter of the carrier says APN: gauge.example\n";
    assert_eq!(finding(text), "bearer/apn-blank");
    let works = text.replace("ERROR", "OK");
    assert_ne!(finding(&works), "bearer/apn-blank");
}

#[test]
fn another_context_that_is_up_hides_no_refusal_of_the_one_that_is_wanted() {
    let contexts = "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauge.example\",\"\",0,0\n+CGDCONT: 2,\"IP\",\"weir.example\",\"\",0,0\nOK\n";
    let states = "AT+CGACT?\n+CGACT: 1,1\n+CGACT: 2,0\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\n";
    let refused = format!("{contexts}AT+CGACT=1,2\n+CME ERROR: 126\n{states}");
    assert_eq!(finding(&refused), "bearer/network-refused");
    let taken = format!("{contexts}AT+CGACT=1,2\nOK\n{}", states.replace("2,0", "2,1"));
    assert_eq!(finding(&taken), "connected");
    let already = format!("{contexts}AT+CGACT=1,1\nERROR\n{states}");
    assert_eq!(finding(&already), "connected", "an error to a context that is up");
}

#[test]
fn sessions_that_the_network_closes_again_and_again_are_none() {
    let once = "+CGEV: ME PDN ACT 1\n+CGEV: NW PDN DEACT 1\n";
    assert_eq!(finding(&format!("{once}{once}+CEREG: 1\n")), "bearer/inactive");
}

#[test]
fn a_closed_bearer_of_a_2g_stack_is_no_session() {
    let text = "AT+CREG?\n+CREG: 0,1\nOK\nAT+SAPBR=2,1\n+SAPBR: 1,3,\"0.0.0.0\"\nOK\n";
    let verdict = explain(&Case::read(&Capture::new(text)));
    assert!(
        verdict.judged.iter().any(|j| j.rule.id == "bearer/inactive" && j.certainty().is_some())
    );
}

/// A context for calls carries no data, whatever its address (GSMA and 3GPP practice).
#[test]
fn a_context_for_calls_alone_is_no_data_session() {
    let text = |first: u8, address: &str| {
        format!(
            "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0\n\
             +CGDCONT: 2,\"IPV4V6\",\"ims\",\"0.0.0.0\",0,0\nOK\nAT+CGACT?\n+CGACT: 1,{first}\n+CGACT: 2,1\nOK\n\
             AT+CGPADDR\n+CGPADDR: 1,\"{address}\"\n+CGPADDR: 2,\"192.0.2.7\"\nOK\n"
        )
    };
    assert_eq!(finding(&text(0, "0.0.0.0")), "bearer/inactive");
    assert_eq!(finding(&text(1, "0.0.0.0")), "path/no-address");
    assert_eq!(finding(&text(1, "192.0.2.8")), "connected");
}

#[test]
fn steps_name_the_context_that_the_text_is_about() {
    let text = "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,0\n+CGACT: 3,1\nOK\nAT+CGPADDR\n+CGPADDR: 3,\"0.0.0.0\"\nOK\n";
    let case = Case::read(&Capture::new(text));
    let commands: Vec<_> = explain(&case).remedies.into_iter().flat_map(|r| r.commands).collect();
    assert!(commands.iter().any(|c| c == "AT+CGACT=0,3"), "{commands:?}");
    assert!(!commands.iter().any(|c| c.ends_with(",1") || c.contains('{')), "{commands:?}");
}
