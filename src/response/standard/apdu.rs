//! `+CSIM`: the card spoken to in its own protocol, selections followed from one exchange to the
//! next (TS 27.007 §8.17, TS 102 221 §11.1).
//!
//! ```text
//! 00A40804 04 7FFF6F07      SELECT by path; A0A40000 02 6F07 with a 2G class
//! 00B00000 09               READ BINARY of the selected file; 00B20104 1C READ RECORD
//! 00200001 00               VERIFY without a code: the tries left come as 63Cx
//! ```

use crate::capture::Exchange;
use crate::case::{Fact, Facts};
use crate::response::{Family, Read, Response, fields};
use crate::span::Span;

use super::sim;

pub(crate) static CSIM: Family = Family {
    prefixes: &["+CSIM"],
    request: "",
    source: "TS 27.007 §8.17; TS 102 221 §11.1",
    about: "a file of the card, or the tries left for its PIN",
    yields: &[],
    read: |_: &Response<'_>, _: &mut Facts| Read::Understood,
};

/// Follows the card's dialogue in one exchange; `selected` is the file that stands selected.
pub(crate) fn follow(exchange: &Exchange<'_, '_>, selected: &mut Option<u16>, facts: &mut Facts) {
    let Some(command) = exchange.command.and_then(request) else { return };
    let Some(line) = exchange.lines.iter().find(|l| l.prefix.eq_ignore_ascii_case("+CSIM")) else {
        return;
    };
    let row = fields(line.text, line.text_at);
    // The length counts the hexadecimal digits: a line that was cut does not fit it.
    let [length, answer, ..] = &*row else { return };
    let Some(bytes) = sim::hex_bytes(answer.text) else { return };
    if bytes.len() < 2 || length.int() != i64::try_from(2 * bytes.len()).ok() {
        return;
    }
    let answer = bytes;
    let (data, status) = answer.split_at(answer.len() - 2);
    let good = matches!(status[0], 0x90 | 0x91 | 0x61 | 0x9F);
    match (command[1], good) {
        (0xA4, true) => *selected = selection(&command),
        (0xA4, false) => *selected = None,
        (0xB0 | 0xB2, true) => {
            if let Some(file) = *selected {
                let _ = sim::file(file, data, line.span, facts);
            }
        }
        (0x20, _) if command[3] == 0x01 => tries(status, line.span, facts),
        _ => {}
    }
}

/// Whether a command carries bytes to the card.
pub(crate) fn carries(command: &str) -> bool {
    command.get(..CARRIER.len()).is_some_and(|name| name.eq_ignore_ascii_case(CARRIER))
}

const CARRIER: &str = "+CSIM=";

/// The bytes of `+CSIM=<length>,"<APDU>"`, four at least.
fn request(command: &str) -> Option<Vec<u8>> {
    let values = command.get(CARRIER.len()..).filter(|_| carries(command))?;
    let (_, bytes) = values.split_once(',')?;
    sim::hex_bytes(bytes.trim()).filter(|b| b.len() >= 4)
}

/// The file at the end of the path.
fn selection(command: &[u8]) -> Option<u16> {
    let length = usize::from(*command.get(4)?);
    let path = command.get(5..5 + length)?;
    let [.., high, low] = *path else { return None };
    // Selection by the name of an application names no file.
    (command[2] != 0x04).then(|| u16::from_be_bytes([high, low]))
}

fn tries(status: &[u8], span: Span, facts: &mut Facts) {
    match *status {
        [0x63, left] if left & 0xF0 == 0xC0 => facts.push(Fact::PinTries(left & 0x0F), span),
        [0x69, 0x83] => facts.push(Fact::PinTries(0), span),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    #[test]
    fn a_selected_file_is_decoded_when_it_is_read() {
        let text = "AT+CSIM=14,\"A0A40000026F07\"\n+CSIM: 4,\"9F0F\"\nOK\n\
                    AT+CSIM=10,\"A0B0000009\"\n+CSIM: 22,\"0809101000000000109000\"\nOK\n";
        let case = Case::read(&Capture::new(text));
        assert_eq!(case.card.imsi.latest().map(|o| o.value.as_str()), Some("001010000000001"));
    }

    #[test]
    fn nothing_is_decoded_without_a_selection() {
        let text = "AT+CSIM=14,\"A0A40000026F07\"\n+CSIM: 4,\"9404\"\nOK\n\
                    AT+CSIM=10,\"A0B0000009\"\n+CSIM: 22,\"0809101000000000109000\"\nOK\n";
        assert!(Case::read(&Capture::new(text)).card.imsi.latest().is_none());
    }

    #[test]
    fn the_tries_left_are_told_without_spending_one() {
        let text = "AT+CSIM=10,\"0020000100\"\n+CSIM: 4,\"63C2\"\nOK\n";
        let case = Case::read(&Capture::new(text));
        assert_eq!(case.card.pin_tries.latest().map(|o| o.value), Some(2));
    }
}
