//! `+CIPSTATUS`: the state of a module's own data session; from memory.
//!
//! ```text
//! AT+CIPSTATUS          OK
//! STATE: IP GPRSACT
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["+CIPSTATUS"], "+CIPSTATUS", "the state of the module's own data session", &[], read);

/// Whether a line is such a response without a prefix.
pub(super) fn begins(line: &str) -> bool {
    line.strip_prefix("STATE:").is_some_and(|word| session(word.trim()).is_some())
}

/// Whether the session is open in a state; `Some(None)` for a state that comes before.
fn session(state: &str) -> Option<Option<bool>> {
    match state {
        "IP GPRSACT" | "IP STATUS" | "IP PROCESSING" | "TCP CONNECTING" | "UDP CONNECTING"
        | "CONNECT OK" | "TCP CLOSING" | "UDP CLOSING" | "TCP CLOSED" | "UDP CLOSED" => {
            Some(Some(true))
        }
        "PDP DEACT" => Some(Some(false)),
        "IP INITIAL" | "IP START" | "IP CONFIG" => Some(None),
        _ => None,
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines() {
            let Some(word) = line.text.trim().strip_prefix("STATE:") else { continue };
            let span = Span::new(line.at, line.at + line.text.len());
            if let Some(open) = session(word.trim()).ok_or_else(|| reply.no_form(0))? {
                w.fact(Fact::Active(1, open), span);
            }
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CIPSTATUS:\nSTATE: PDP DEACT"];

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn open(text: &str) -> Option<bool> {
        let case = Case::read(&Capture::new(text));
        case.sessions.active.get(&1).and_then(|h| h.latest()).map(|o| o.value)
    }

    #[test]
    fn the_state_behind_its_label_tells_of_the_session() {
        assert_eq!(open("AT+CIPSTATUS\nOK\n\nSTATE: IP GPRSACT\n"), Some(true));
        assert_eq!(
            open("AT+CIPSTART=\"TCP\",\"192.0.2.1\",80\nOK\nSTATE: PDP DEACT\n"),
            Some(false)
        );
        assert_eq!(open("+PDP: DEACT\n"), Some(false));
        assert_eq!(open("STATE: IP INITIAL\n"), None);
        assert_eq!(open("STATE: of the art\n"), None);
    }
}
