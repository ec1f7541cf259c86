//! What is done only when it is asked for by name, because the link drops: a fresh attach and a
//! restart, each watched until the modem is registered for data.

use super::client::{Client, ClientError};
use super::examine::Progress;
use super::permit::patience;
use std::time::Duration;

/// A beginning anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fresh {
    /// The radio switched off and on (TS 27.007 §8.2): the network states its reason anew.
    Attach,
    /// The modem restarted (`+CFUN=1,1`): its port may go away meanwhile.
    Restart,
}

/// The states that carry data, of the technologies; what a modem does not have it answers with an error.
const STATES: [&str; 3] = ["AT+CEREG?", "AT+CGREG?", "AT+C5GREG?"];
/// A modem that restarts answers within this, or not at all.
const GOES_DOWN: Duration = Duration::from_secs(3);
/// The states are asked for so often.
const EVERY: Duration = Duration::from_secs(1);

/// Begins anew and waits, at most `wait`, until the modem is registered for data; says whether it
/// is. Order, states and what the network says by itself stand in the recording, with their times.
///
/// # Errors
///
/// [`ClientError`] where the line or the recording fails, or the user stopped it.
pub fn begin_anew(
    client: &mut Client<'_>,
    fresh: Fresh,
    wait: Duration,
    progress: &mut dyn Progress,
) -> Result<bool, ClientError> {
    let until = client.now() + wait;
    let before = report_mode(&ask(client, progress, "AT+CEREG?")?);
    match fresh {
        Fresh::Attach => {
            // With the fuller report a refusal comes with its cause.
            if before.is_some() {
                ask(client, progress, "AT+CEREG=3")?;
            }
            for command in ["AT+CFUN=4", "AT+CFUN=1"] {
                ask(client, progress, command)?;
            }
        }
        Fresh::Restart => {
            progress.asking("AT+CFUN=1,1");
            // Many modems go down without an answer; those that answer go down a moment later.
            client.ask("AT+CFUN=1,1", GOES_DOWN)?;
            client.listen(EVERY)?;
            while !client.wake(false)? {
                if client.now() >= until {
                    return Ok(false);
                }
            }
        }
    }
    let mut asked: Vec<&str> = STATES.to_vec();
    let mut registered = false;
    while !registered && client.now() < until {
        let mut answered = Vec::new();
        for command in &asked {
            let answer = ask(client, progress, command)?;
            let head = &command[2..command.len() - 1];
            let state = answer.value(head).and_then(|v| v.split(',').nth(1));
            registered |= state.is_some_and(|s| matches!(s.trim(), "1" | "5"));
            if answer.is_ok() {
                answered.push(*command);
            }
        }
        // While a modem starts it may refuse all of them.
        if !answered.is_empty() {
            asked = answered;
        }
        if !registered {
            client.listen(EVERY)?;
        }
    }
    for command in ["AT+CEER", "AT+CGPADDR"] {
        ask(client, progress, command)?;
    }
    if let (Fresh::Attach, Some(mode)) = (fresh, before) {
        ask(client, progress, &format!("AT+CEREG={mode}"))?;
    }
    Ok(registered)
}

fn ask(
    client: &mut Client<'_>,
    progress: &mut dyn Progress,
    command: &str,
) -> Result<super::Answer, ClientError> {
    progress.asking(command);
    client.ask(command, patience(command))
}

/// The report mode in an answer of `+CEREG?`, where it is one digit.
fn report_mode(answer: &super::Answer) -> Option<String> {
    let mode = answer.value("+CEREG")?.split(',').next()?.trim();
    (mode.len() == 1 && mode.bytes().all(|b| b.is_ascii_digit())).then(|| mode.to_owned())
}
