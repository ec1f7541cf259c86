//! A card that is busy behind a start is waited for before anything is concluded from it.

use super::examine::Progress;
use crate::at::{Client, ClientError, CommandResponse, ResultCode};
use std::time::Duration;

/// A card is busy behind a start or a PIN for no longer than this (common practice, no source).
pub(super) const BUSY_FOR: Duration = Duration::from_secs(10);
/// Its state is asked for so often meanwhile.
const EVERY: Duration = Duration::from_millis(500);

/// Asks for the card's state, again while `is_busy` says so of the response.
fn ask_while(
    client: &mut Client<'_>,
    progress: &mut dyn Progress,
    is_busy: impl Fn(&CommandResponse) -> bool,
) -> Result<CommandResponse, ClientError> {
    let until = client.now() + BUSY_FOR;
    let mut asked = 0;
    loop {
        let response = client.ask("AT+CPIN?")?;
        asked += 1;
        // One question may be lost on the line, however long its answer was waited for.
        if !is_busy(&response) || asked > 1 && client.now() >= until {
            return Ok(response);
        }
        progress.asking("AT+CPIN?: the card is busy, as behind a start; waiting, 10 s at most");
        client.listen(EVERY)?;
    }
}

/// Asks for the card's state; a busy card is asked again.
pub(super) fn ask(
    client: &mut Client<'_>,
    progress: &mut dyn Progress,
) -> Result<CommandResponse, ClientError> {
    ask_while(client, progress, is_busy)
}

/// Asks for the card's state behind a PIN, where any error may mean a busy card; a damaged response is asked for again.
pub(super) fn ask_behind_pin(client: &mut Client<'_>) -> Result<CommandResponse, ClientError> {
    let is_known = |state: &str| state == "READY" || state.starts_with("SIM P");
    ask_while(client, &mut (), |response| !response.value("+CPIN").is_some_and(is_known))
}

/// Whether a response says that the card is busy (TS 27.007 §9.2.1, error 14).
pub(super) fn is_busy(response: &CommandResponse) -> bool {
    let ResultCode::Error(words) = &response.result else { return false };
    let what = words.rsplit(':').next().unwrap_or_default().trim();
    what == "14" || what.eq_ignore_ascii_case("SIM busy")
}
