//! `+QNETRC`: the causes of the last refusals; 0 for none since the start.
//!
//! ```text
//! "emm_cause"|"esm_cause"|"5gmm_cause"|"5gsm_cause",<cause>
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::reference::causes::CauseList;
use crate::response::causes;
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QNETRC"],
    "+QNETRC?",
    "the cause of the last refusal",
    &[Quantity::RejectCause],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let cause: Column = match reply.text(0).to_ascii_lowercase().as_str() {
            "emm_cause" => Column::Own(|w, f| causes::last(w, CauseList::Emm, f)),
            "esm_cause" => Column::Own(|w, f| causes::last(w, CauseList::Esm, f)),
            "5gmm_cause" => Column::Own(|w, f| causes::last(w, CauseList::FiveGmm, f)),
            "5gsm_cause" => Column::Own(|w, f| causes::last(w, CauseList::FiveGsm, f)),
            _ => return Err(reply.no_form(0)),
        };
        w.row(reply, &[Column::Text, cause])
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QNETRC: "emm_cause",7"#];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::{of, with_form};

    use crate::response::{Form, Read};

    #[test]
    fn the_list_is_named_by_the_key_and_zero_is_none() {
        let emm = Reject { kind: CauseList::Emm, cause: 7, history: true };
        assert_eq!(
            of("+QNETRC", "\"emm_cause\",7"),
            [Fact::Reject(emm), Fact::number(Quantity::RejectCause, 7.0, Cell::Serving)]
        );
        assert_eq!(
            with_form("+QNETRC", Form::Read, "\"esm_cause\",0", &[]),
            (Read::Understood, vec![])
        );
    }
}
