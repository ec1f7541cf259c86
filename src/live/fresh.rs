//! What is done only when it is asked for by name, because the link drops: a fresh attach and a
//! restart, each watched until the modem is registered for data.

use super::examine::Progress;
use crate::at::patience;
use crate::at::{Client, ClientError};
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
const STATES: [&str; 3] = ["AT+CEREG?", "AT+CGREG?", NEWEST];
/// The one that most modems do not have.
const NEWEST: &str = "AT+C5GREG?";
/// A modem that restarts answers within this, or not at all.
const GOES_DOWN: Duration = Duration::from_secs(3);
/// The states are asked for so often.
const EVERY: Duration = Duration::from_secs(1);

/// A beginning that broke off.
#[derive(Debug, thiserror::Error)]
#[error("{source}{}", left(put_back))]
pub struct BrokenOff {
    /// Why.
    pub source: ClientError,
    /// Commands that put back what was switched, to be sent by hand.
    pub put_back: Vec<String>,
}

impl From<ClientError> for BrokenOff {
    fn from(source: ClientError) -> Self {
        Self { source, put_back: Vec::new() }
    }
}

fn left(put_back: &[String]) -> String {
    if put_back.is_empty() {
        String::new()
    } else {
        format!("; what was switched is not put back: send {}", put_back.join(", then "))
    }
}

/// Begins anew and waits, at most `wait`, until the modem is registered for data; says whether it
/// is. Order, states and what the network says by itself stand in the recording, with their times.
///
/// # Errors
///
/// [`BrokenOff`] where the line or the recording fails, or the user stopped it; it names what is
/// left to put back, the radio first.
pub fn begin_anew(
    client: &mut Client<'_>,
    fresh: Fresh,
    wait: Duration,
    progress: &mut dyn Progress,
) -> Result<bool, BrokenOff> {
    let mut put_back = Vec::new();
    run(client, fresh, wait, progress, &mut put_back)
        .map_err(|source| BrokenOff { source, put_back })
}

fn run(
    client: &mut Client<'_>,
    fresh: Fresh,
    wait: Duration,
    progress: &mut dyn Progress,
    put_back: &mut Vec<String>,
) -> Result<bool, ClientError> {
    let until = client.now() + wait;
    match fresh {
        Fresh::Attach => {
            // With the fuller report a refusal comes with its cause.
            if let Some(mode) = report_mode(&ask(client, progress, "AT+CEREG?")?) {
                put_back.push(format!("AT+CEREG={mode}"));
                ask(client, progress, "AT+CEREG=3")?;
            }
            put_back.insert(0, "AT+CFUN=1".into());
            ask(client, progress, "AT+CFUN=4")?;
            ask(client, progress, "AT+CFUN=1")?;
            put_back.remove(0);
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
        let mut refused = Vec::new();
        for command in &asked {
            let answer = ask(client, progress, command)?;
            let head = &command[2..command.len() - 1];
            let state = answer.value(head).and_then(|v| v.split(',').nth(1));
            registered |= state.is_some_and(|s| matches!(s.trim(), "1" | "5"));
            if !answer.is_ok() {
                refused.push(*command);
            }
        }
        // A modem that answers the others has no 5G; while it starts it may refuse all of them.
        if refused == [NEWEST] {
            asked.retain(|command| *command != NEWEST);
        }
        if !registered {
            client.listen(EVERY)?;
        }
    }
    for command in ["AT+CEER", "AT+CGPADDR"] {
        ask(client, progress, command)?;
    }
    while let Some(command) = put_back.first().cloned() {
        ask(client, progress, &command)?;
        put_back.remove(0);
    }
    Ok(registered)
}

fn ask(
    client: &mut Client<'_>,
    progress: &mut dyn Progress,
    command: &str,
) -> Result<crate::at::Answer, ClientError> {
    progress.asking(command);
    client.ask(command, patience(command))
}

/// The report mode in an answer of `+CEREG?`, where it is one digit.
fn report_mode(answer: &crate::at::Answer) -> Option<String> {
    let mode = answer.value("+CEREG")?.split(',').next()?.trim();
    (mode.len() == 1 && mode.bytes().all(|b| b.is_ascii_digit())).then(|| mode.to_owned())
}
