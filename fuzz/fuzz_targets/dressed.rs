//! A response in the dress of terminals, logs and people gives the values of the plain one, or none:
//! never another value.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::capture::Capture;
use mastside::case::{Case, Domain};

/// What stands before and behind a response.
const DRESSES: &[(&str, &str)] = &[
    ("", "\\r\\n"),
    ("", "<CR><LF>"),
    ("", "^M"),
    ("\u{1b}[32m", "\u{1b}[0m"),
    ("'", "'"),
    ("\"", "\""),
    ("{\"line\": \"", "\"}"),
    ("(", ")"),
    ("**", "**"),
    ("| ", " |"),
    ("12:00:01 RX: ", ""),
    ("", " // now"),
    ("", " # now it is so"),
    ("", " -- see above"),
    ("", " <- here"),
    ("", "OK"),
    ("..", "....OK.."),
    ("", "*"),
    ("", "…"),
    ("", " 12:00:02 RX: OK"),
];

/// The commands whose responses are dressed.
const COMMANDS: &[&str] = &["+CREG", "+CEREG", "+CGREG", "+CSQ", "+CESQ", "+CPSI", "+QCSQ"];

/// The values that a text gives.
fn values(text: &str) -> Vec<String> {
    let case = Case::read(&Capture::new(text));
    let levels = case.radio.readings.all().iter().map(|o| format!("{:?}", o.value));
    let domains = [Domain::Circuit, Domain::Packet, Domain::Eps];
    let states = domains.iter().filter_map(|d| Some(format!("{d:?} {}", case.stat(*d)?.value.stat)));
    levels.chain(states).collect()
}

fuzz_target!(|input: (u8, u8, &str)| {
    let (command, dress, body) = input;
    // Values only: what else stands in a body may itself be a dress.
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, ',' | '-');
    if !body.chars().all(plain) || body.is_empty() {
        return;
    }
    let command = COMMANDS[usize::from(command) % COMMANDS.len()];
    let (before, behind) = DRESSES[usize::from(dress) % DRESSES.len()];
    let expected = values(&format!("AT{command}?\n{command}: {body}\nOK\n"));
    for value in values(&format!("AT{command}?\n{before}{command}: {body}{behind}\nOK\n")) {
        assert!(expected.contains(&value), "{value} is not among {expected:?}");
    }
});
