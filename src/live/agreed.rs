//! A read that something is built on: made until two in a row agree.

use crate::at::{Client, ClientError, CommandResponse, ResultCode};

/// How often a value is read before its reads are given up.
const READS: usize = 5;

/// Asks until two responses in a row have the same value; `None` where they never do, or the modem refuses twice.
/// One refusal may be a byte that was lost on the way.
pub(super) fn agreed<T: PartialEq>(
    client: &mut Client<'_>,
    command: &str,
    value: impl Fn(&CommandResponse) -> Option<T>,
) -> Result<Option<T>, ClientError> {
    let mut before: Option<T> = None;
    let mut refusals = 0;
    for _ in 0..READS {
        let response = client.ask(command)?;
        let now = value(&response);
        if now.is_some() && now == before {
            return Ok(now);
        }
        refusals += usize::from(matches!(response.result, ResultCode::Error(_)));
        if refusals == 2 {
            break;
        }
        before = now;
    }
    Ok(None)
}
