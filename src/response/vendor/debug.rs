//! `^DEBUG`: labelled values, one or several a line.
//!
//! Seen once, and its layout not verified: only labels that are unmistakable are read. -1 stands
//! for "no cause", -256 for a branch that is not used.

use crate::case::{Fact, Facts, Quantity, Reject};
use crate::reference::causes::CauseList;
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["^DEBUG"],
    request: "^DEBUG?",
    source: "maker's command; layout seen once",
    about: "level, signal over noise and the last causes, as labelled values",
    yields: &[Quantity::Rsrp, Quantity::Sinr, Quantity::RejectCause],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let lines = reply.tail.iter().map(|line| (line.text, line.span.start));
    for (text, at) in std::iter::once((reply.body, reply.body_at)).chain(lines) {
        for part in text.split([',', ';']) {
            let Some((label, value)) = part.split_once([':', '=']) else { continue };
            let value = value.trim();
            let start = at + (value.as_ptr() as usize - text.as_ptr() as usize);
            labelled(&mut pen, label.trim(), value, Span::new(start, start + value.len()));
        }
    }
    pen.done()
}

fn labelled(pen: &mut FactWriter<'_>, label: &str, value: &str, span: Span) {
    let Some(read) = number(value) else { return };
    let kind = match label.to_ascii_uppercase().as_str() {
        "RSRP" if read > -256.0 => {
            pen.value(Quantity::Rsrp, read, span);
            return;
        }
        "RS-SINR" => {
            pen.value(Quantity::Sinr, read, span);
            return;
        }
        "EMM CAUSE" => CauseList::Emm,
        "ESM CAUSE" => CauseList::Esm,
        _ => return,
    };
    match value.parse::<u8>() {
        Ok(cause @ 1..) => {
            pen.fact(Fact::Reject(Reject { kind, cause, history: true }), span);
            pen.value(Quantity::RejectCause, f64::from(cause), span);
        }
        _ => pen.understood(),
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn labels_are_read_and_marks_for_nothing_are_not() {
        let rows =
            ["RAT:LTE, PLMN:00101", "RSRP: -97, RS-SINR: 11.5", "EMM CAUSE: 15, ESM CAUSE: -1"];
        let found = of_block("^DEBUG", "", &rows);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-97.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [11.5]);
        let emm = Reject { kind: CauseList::Emm, cause: 15, history: true };
        assert!(says(&found, &Fact::Reject(emm)));
        assert_eq!(numbers(&found, Quantity::RejectCause), [15.0]);
        assert!(of_block("^DEBUG", "", &["RSRP: -256"]).is_empty());
    }
}
