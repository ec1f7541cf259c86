//! Responses of standard reads that a modem, or whoever copied them, left without their prefix: `AT+CEREG?`, `0,5`, `OK`.
//!
//! Only between a command and its `OK` a plain line is an answer for sure.

use crate::capture::{Exchange, Line, Outcome};
use crate::case::Facts;
use crate::response::{Form, Read, Response, family, fields};

/// The reads whose responses have a form of their own, and whether they come in several lines.
const READS: [(&str, bool); 14] = [
    ("+CREG?", false),
    ("+CGREG?", false),
    ("+CEREG?", false),
    ("+C5GREG?", false),
    ("+CSQ", false),
    ("+CESQ", false),
    ("+CPIN?", false),
    ("+CFUN?", false),
    ("+CGATT?", false),
    ("+COPS?", false),
    ("+CEMODE?", false),
    ("+CGDCONT?", true),
    ("+CGACT?", true),
    ("+CGPADDR", true),
];

/// Reads the plain lines of an exchange as the response of its command; all of them, or nothing.
pub(crate) fn read(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let Some(command) = exchange.command.filter(|_| exchange.outcome == Outcome::Ok) else {
        return;
    };
    let Some((request, several)) =
        READS.iter().find(|(read, _)| command.eq_ignore_ascii_case(read))
    else {
        return;
    };
    let prefix = request.trim_end_matches('?');
    let Some(family) = family(prefix) else { return };
    let answered = exchange
        .lines
        .iter()
        .any(|l| family.prefixes.iter().any(|h| l.prefix.eq_ignore_ascii_case(h)));
    let plain: Vec<&Line<'_>> = exchange
        .lines
        .iter()
        .filter(|l| l.prefix.is_empty() && !l.text.trim().is_empty())
        .collect();
    if answered || plain.is_empty() || plain.len() > 1 && !several {
        return;
    }
    let mut found = Facts::default();
    for line in plain {
        let body = line.text.trim();
        let body_at = line.text_at + (line.text.len() - line.text.trim_start().len());
        let row = fields(body, body_at);
        let response = Response {
            prefix,
            form: Form::Read,
            request: command,
            body,
            body_at,
            span: line.span,
            open: false,
            fields: &row,
            continuation: &[],
        };
        if (family.read)(&response, &mut found) != Read::Understood {
            return;
        }
    }
    for (fact, span) in found.found() {
        facts.push(fact.clone(), *span);
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::{Case, Domain, Quantity, Sim};

    fn case(text: &str) -> Case {
        Case::read(&Capture::new(text))
    }

    #[test]
    fn a_response_without_its_prefix_is_known_by_its_request() {
        let states = case("AT+CEREG?\n0,5\nOK\n");
        assert_eq!(states.stat(Domain::Eps).map(|o| o.value.stat), Some(5));
        let level = case("AT+CSQ\n17,99\nOK\n").level(Quantity::Rssi).and_then(|(v, _)| v);
        assert_eq!(level, Some(-79.0));
        assert_eq!(
            case("AT+CPIN?\nREADY\nOK\n").card.state.latest().map(|o| o.value),
            Some(Sim::Ready)
        );
        assert_eq!(case("AT+CGACT?\n1,1\n2,0\nOK\n").sessions.active.keys().count(), 2);
    }

    #[test]
    fn a_line_that_is_not_wholly_of_the_form_is_none() {
        for text in [
            "AT+CEREG?\n0,5x\nOK\n",
            "AT+CEREG?\n5\n0,5\nOK\n",
            "AT+CEREG?\n0,5\n",
            "AT+CEREG=?\n0,5\nOK\n",
            "AT+CEREG?\n0,5\n+CME ERROR: 10\n",
        ] {
            assert!(case(text).stat(Domain::Eps).is_none(), "{text}");
        }
    }
}
