//! Faults at every byte of live dialogues.

use super::*;

/// Each fault at every byte of a whole dialogue: the run ends within its time, nothing that a
/// command was answered with belongs to another, and the recording is whole up to the fault.
#[test]
fn faults_at_every_byte_never_hang_and_never_mix_answers() {
    let scenario = scenarios().into_iter().find(|(n, _)| n == "healthy").unwrap().1;
    let mut modem = Modem::new(scenario.clone());
    let (clean, ..) = examined(&mut modem, 1000);
    // What the modem sends in a whole run, counted from the recording.
    let length: usize =
        clean.lines().filter_map(|l| l.split_once("] ")).map(|(_, rest)| rest.len() + 2).sum();
    let mut positions = 0;
    for kind in FaultKind::ALL {
        for at in 0..length {
            let mut faulty = scenario.clone();
            faulty.fault = vec![Fault::new(kind, at, 2_000)];
            let mut modem = Modem::new(faulty);
            let (text, _, passed) = examined(&mut modem, 64);
            positions += 1;
            assert!(passed < Duration::from_secs(400), "{kind:?} at {at}: {passed:?}");
            never_mixed(&text, kind, at);
        }
    }
    assert!(positions > 4000, "{positions}");
}

/// Between a command and the next, a header must be of that command, of a start, or unsolicited.
fn never_mixed(text: &str, kind: FaultKind, at: usize) {
    let mut command = String::new();
    for line in text.lines() {
        if let Some((_, sent)) = line.split_once("] > ") {
            command = sent
                .trim_start_matches("AT")
                .trim_end_matches('?')
                .split('=')
                .next()
                .unwrap_or("")
                .to_owned();
        } else if let Some((_, came)) = line.split_once("] < ") {
            let Some((head, _)) = came.split_once(':') else { continue };
            let known = [
                "+CPIN", "+CFUN", "+CEREG", "+CGREG", "+CREG", "+CSQ", "+CESQ", "+COPS", "+CGATT",
                "+CGDCONT", "+CGACT", "+CGPADDR", "+CEER", "+CMEE",
            ];
            if known.contains(&head) && head != command {
                // A modem that starts anew says so by itself.
                assert!(
                    matches!(kind, FaultKind::Restart) && head == "+CPIN",
                    "{kind:?} at {at}: {came} behind {command}\n{text}"
                );
            }
        }
    }
}
