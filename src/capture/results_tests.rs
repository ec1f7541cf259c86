//! Final results in every quoting that loggers, interpreters and pages give them.

use super::{Capture, Outcome, Piece};

/// What the first command of a text ended with.
fn outcome(text: &str) -> String {
    let mut found = None;
    Capture::new(text).read(|piece| {
        if let Piece::Exchange(exchange) = piece
            && exchange.command.is_some()
        {
            let shown = match exchange.outcome {
                Outcome::Ok => "OK".to_owned(),
                Outcome::Error { list, text } => format!("{list}ERROR {text}").trim().to_owned(),
                Outcome::NoCarrier => "NO CARRIER".to_owned(),
                Outcome::Connect => "CONNECT".to_owned(),
                Outcome::Missing => "missing".to_owned(),
            };
            found.get_or_insert(shown);
        }
    });
    found.unwrap_or_else(|| "no command".to_owned())
}

/// A result as the modem sends it, and what it is read as.
const RESULTS: [(&str, &str); 6] = [
    ("OK", "OK"),
    ("ERROR", "ERROR"),
    ("+CME ERROR: 10", "CMEERROR 10"),
    ("+CME ERROR: SIM not inserted", "CMEERROR SIM not inserted"),
    ("+CMS ERROR: 310", "CMSERROR 310"),
    ("NO CARRIER", "NO CARRIER"),
];

/// What stands before and behind the command, and before and behind the result.
const QUOTINGS: &[[&str; 4]] = &[
    ["", "", "", ""],
    ["TX -> \"", "\"", "RX -> \"", "\""],
    ["TX: ", "", "RX: ", ""],
    ["tx: b'", "\\r'", "rx: b'\\r\\n", "\\r\\n'"],
    ["tx b'", "\\r\\n'", "rx b'", "\\r\\n'"],
    [">>> '", "'", "<<< '", "'"],
    [">>> \"", "\"", "<<< \"", "\""],
    ["--> ", "", "<-- ", ""],
    ["-> ", "", "<- ", ""],
    ["=> ", "", "<= ", ""],
    ["", "", "\"", "\""],
    ["", "", "'", "'"],
    ["", "", "`", "`"],
    ["", "", "b'", "'"],
    ["", "", "b\"", "\""],
    ["", "", "u'", "'"],
    ["", "", "['", "']"],
    ["", "", "[b'\\r\\n', b'", "\\r\\n']"],
    ["", "", "(", ")"],
    ["", "", "[", "]"],
    ["", "", "{", "}"],
    ["", "", "<", ">"],
    ["Send: ", "", "Recv: ", ""],
    ["Sent: ", "", "Received: ", ""],
    ["send: \"", "\"", "recv: \"", "\""],
    ["[TX] ", "", "[RX] ", ""],
    ["[tx] '", "'", "[rx] '", "'"],
    ["(tx) ", "", "(rx) ", ""],
    ["12:00:01.100 TX ", "", "12:00:01.200 RX ", ""],
    ["12:00:01 > ", "", "12:00:01 < ", ""],
    ["[12:00:01] >> ", "", "[12:00:01] << ", ""],
    ["AT> ", "", "AT< ", ""],
    ["cmd: ", "", "resp: ", ""],
    ["cmd=", "", "rsp=", ""],
    ["Command: ", "", "Response: ", ""],
    ["command = \"", "\"", "response = \"", "\""],
    ["sending ", "", "got ", ""],
    ["write: ", "", "read: ", ""],
    ["out: ", "", "in: ", ""],
    ["HOST: ", "", "MODEM: ", ""],
    ["host> ", "", "modem> ", ""],
    ["I (4711) at: TX '", "'", "I (4750) at: RX '", "'"],
    ["D/modem: > ", "", "D/modem: < ", ""],
    ["{\"tx\":\"", "\"}", "{\"rx\":\"", "\"}"],
    ["{\"dir\":\"tx\",\"data\":\"", "\"}", "{\"dir\":\"rx\",\"data\":\"", "\"}"],
    ["**", "**", "**", "**"],
    ["  * ", "", "  * ", ""],
    ["Mar  4 10:00:01 hut celld[812]: >> ", "", "Mar  4 10:00:01 hut celld[812]: << ", ""],
    ["2026-03-04T10:00:01Z celld tx=\"", "\"", "2026-03-04T10:00:01Z celld rx=\"", "\""],
    ["level=debug msg=\"", "\"", "level=debug msg=\"", "\""],
    ["[modem] ---> ", "", "[modem] <--- ", ""],
    ["0001: ", "", "0002: ", ""],
];

#[test]
fn a_result_is_read_in_every_quoting() {
    let mut wrong = Vec::new();
    for [before, behind, opens, closes] in QUOTINGS {
        for (result, read) in RESULTS {
            let text = format!(
                "{before}AT+CPIN?{behind}\n{opens}{result}{closes}\n{before}AT+CSQ{behind}\n{opens}+CSQ: 17,99{closes}\n{opens}OK{closes}\n"
            );
            let found = outcome(&text);
            if found != read {
                wrong.push(format!("{opens}{result}{closes}: {found}"));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        QUOTINGS.len() * RESULTS.len(),
        wrong.join("\n")
    );
}
