//! `+CIPSTATUS` and `+PDP`: the state of a module's own data session; from memory.
//!
//! ```text
//! AT+CIPSTATUS          OK
//! STATE: IP GPRSACT
//! +PDP: DEACT           comes by itself
//! ```

use crate::case::{Fact, Facts};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+CIPSTATUS", "+PDP"],
    request: "+CIPSTATUS",
    source: "maker's command",
    about: "the state of the module's own data session",
    yields: &[],
    read,
};

/// Whether a line is such a reply without a header.
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
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if reply.is("+PDP") && reply.body.trim() == "DEACT" {
        pen.fact(Fact::Active(1, false), reply.span);
    }
    for line in reply.tail {
        let Some(word) = line.text.trim().strip_prefix("STATE:") else { continue };
        match session(word.trim()) {
            Some(Some(open)) => pen.fact(Fact::Active(1, open), line.span),
            Some(None) => pen.understood(),
            None => {}
        }
    }
    pen.done()
}

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
