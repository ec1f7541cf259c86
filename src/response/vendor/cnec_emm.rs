//! `+CNEC_EMM`: the cause of a refusal of mobility management, as it comes.
//!
//! ```text
//! <cause>[,<cid>]
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::reference::causes::CauseList;
use crate::response::causes;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+CNEC_EMM"],
    "",
    "the cause of a refusal as it comes",
    &[Quantity::RejectCause],
    read,
);

const FORM: &[Column] =
    &[Column::Own(|w, f| causes::now(w, CauseList::Emm, f)), Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CNEC_EMM: 15"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::of;

    #[test]
    fn the_first_number_is_the_cause() {
        let emm = Reject { kind: CauseList::Emm, cause: 15, history: false };
        assert!(of("+CNEC_EMM", "15").contains(&Fact::Reject(emm)));
    }
}
