//! Several modems in one text: where the dialogue of the next one begins.

use crate::capture::{Capture, Piece};
use crate::case::{Case, Observation};

/// A command, and where it begins in the given text.
pub(super) type Sent = (usize, String);

/// Where each further modem begins: before the commands that open its dialogue and lead to its
/// equipment number. Empty for one modem.
pub(super) fn borders(case: &Case, capture: &Capture<'_>) -> Vec<usize> {
    let numbers = case.device.imei.all();
    let different = numbers.windows(2).any(differ);
    if !different {
        return Vec::new();
    }
    let mut sent: Vec<Sent> = Vec::new();
    capture.read(|piece| {
        if let Piece::Exchange(exchange) = piece
            && let Some(command) = exchange.command
        {
            let at = capture.origin(exchange.command_span).start;
            sent.push((at, command.to_ascii_uppercase()));
        }
    });
    numbers
        .windows(2)
        .filter(|pair| differ(pair))
        .map(|pair| border(&sent, pair[0].span.end, pair[1].span.start))
        .collect()
}

/// Whether two numbers in a row name two devices: the check digit, or the software version in its
/// place, does not (TS 23.003 §6.2).
fn differ(pair: &[Observation<String>]) -> bool {
    let device = |o: &Observation<String>| o.value.get(..14).map(str::to_owned);
    device(&pair[0]) != device(&pair[1])
}

/// The start of the opening commands before `number`, the place of the next modem's number, and
/// behind `last`, that of the modem before.
fn border(sent: &[Sent], last: usize, number: usize) -> usize {
    let before: Vec<&Sent> = sent.iter().filter(|(at, _)| (last..number).contains(at)).collect();
    let opening = before.iter().rev().take_while(|(_, command)| opens(command)).last();
    opening.map_or(number, |(at, _)| *at)
}

/// Whether a command belongs to the opening of a dialogue: waking, echo, settings of the session,
/// identification.
fn opens(command: &str) -> bool {
    let name = command.trim_end_matches(['?', ' ']);
    name.is_empty()
        || ["E0", "E1", "V1", "Z", "&F", "I", "I0", "I1"].contains(&name)
        || ["+CMEE", "+CGMI", "+CGMM", "+CGMR", "+CGSN", "+GMI", "+GMM", "+GMR", "+GSN"]
            .iter()
            .any(|c| name.starts_with(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIRST: &str = "AT\nOK\nAT+CGSN\n004400152020000\nOK\nAT+CPIN?\n+CME ERROR: 10\n";
    const SECOND: &str =
        "AT\nOK\nATI\nModel: G2\nOK\nAT+CGSN\n004401152020008\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n";

    #[test]
    fn one_modem_stays_one() {
        let twice = format!("{FIRST}{FIRST}");
        assert!(Case::read(&Capture::new(&twice)).others.is_empty());
        let version = format!("{FIRST}AT+CGSN=2\n+CGSN: 0044001520200012\nOK\n");
        assert!(Case::read(&Capture::new(&version)).others.is_empty());
    }

    #[test]
    fn nothing_of_one_modem_is_told_of_the_other() {
        let text = format!("{FIRST}and the other one:\n{SECOND}");
        let case = Case::read(&Capture::new(&text));
        assert!(case.card.state.latest().is_none(), "the first modem's card");
        assert_eq!(case.device.model.latest().map(|o| o.value.as_str()), Some("G2"));
        assert_eq!(case.others.len(), 1);
        let first = &case.others[0];
        assert!(first.card.state.latest().is_some());
        let states =
            |case: &Case| case.registration.states.values().map(|h| h.all().len()).sum::<usize>();
        assert_eq!((states(first), states(&case)), (0, 1));
    }

    #[test]
    fn a_border_lies_before_the_opening_commands() {
        let sent =
            [(0, "+CGSN".into()), (20, "+CPIN?".into()), (40, String::new()), (50, "+CGSN".into())];
        assert_eq!(border(&sent, 10, 60), 40);
        assert_eq!(border(&sent[..2], 10, 60), 60);
    }
}
