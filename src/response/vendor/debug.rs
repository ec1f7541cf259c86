//! `^DEBUG`, `+ECSTATUS`: labelled values, one or several a line.
//!
//! ```text
//! RSRP: -97, RS-SINR: 11.5          PHY, DlEarfcn:3590, PCI:201, Band:8, RSRP:-84, RSRQ:-9, SNR:15
//! ```
//!
//! From memory, and the layouts not verified: only labels that are unmistakable are read. -1 stands
//! for "no cause", -256 for a branch that is not used.

use super::family;
use crate::case::{Facts, Quantity};
use crate::reference::causes::CauseList;
use crate::response::columns::{BodyLine, Column, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, causes};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["^DEBUG", "+ECSTATUS"],
    "^DEBUG?",
    "levels, cell and the last causes, as labelled values",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Pci,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::RejectCause,
    ],
    read,
);

const LABELS: &[(&str, Column)] = &[
    ("RSRP", plain(Quantity::Rsrp)),
    ("RSRQ", plain(Quantity::Rsrq)),
    ("RS-SINR", plain(Quantity::Sinr)),
    ("SNR", plain(Quantity::Sinr)),
    ("PCI", plain(Quantity::Pci)),
    ("BAND", plain(Quantity::Band)),
    ("DLEARFCN", plain(Quantity::Earfcn)),
    ("EMM CAUSE", Column::Own(|w, f| cause(w, CauseList::Emm, f))),
    ("ESM CAUSE", Column::Own(|w, f| cause(w, CauseList::Esm, f))),
];

fn cause(w: &mut FactWriter<'_>, kind: CauseList, field: &Field<'_>) -> Taken {
    if field.text == "-1" { Ok(()) } else { causes::last(w, kind, field) }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut read = false;
        for BodyLine { text, at, open } in reply.lines() {
            let mut from = 0;
            for part in text.split_inclusive([',', ';']) {
                let end = from + part.len();
                let shown = part.trim_end_matches([',', ';']);
                if let Some((label, value)) = shown.split_once([':', '='])
                    && !value.trim().is_empty()
                {
                    let start = from + shown.len() - value.trim_start().len();
                    let field = Field {
                        text: value.trim(),
                        quoted: false,
                        span: Span::new(at + start, at + start + value.trim().len()),
                    };
                    let label = label.trim();
                    if let Some((_, column)) =
                        LABELS.iter().find(|(l, _)| l.eq_ignore_ascii_case(label))
                    {
                        read |= w.labelled(*column, &field, open && end == text.len());
                    }
                }
                from = end;
            }
        }
        // Sections of the second have labels of their own.
        if read || reply.is("+ECSTATUS") { Ok(()) } else { Err(reply.no_form(0)) }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "^DEBUG:\nRAT:LTE, PLMN:00101\nRSRP: -97, RS-SINR: 11.5\nEMM CAUSE: 15, ESM CAUSE: -1",
    "+ECSTATUS: PHY, DlEarfcn:3590, UlEarfcn:21590, PCI:201, Band:8, RSRP:-84, RSRQ:-9, SNR:15",
];

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
        let unused = of_block("^DEBUG", "", &["RSRP: -256"]);
        assert!(numbers(&unused, Quantity::Rsrp).is_empty());
    }
}
