//! `+CNEC_ESM`: the cause of a refusal of session management, as it comes.
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
    &["+CNEC_ESM"],
    "",
    "the cause of a refusal as it comes",
    &[Quantity::RejectCause],
    read,
);

const FORM: &[Column] =
    &[Column::Own(|w, f| causes::now(w, CauseList::Esm, f)), Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CNEC_ESM: 33,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::of;

    #[test]
    fn session_causes_are_kept_apart() {
        let esm = Reject { kind: CauseList::Esm, cause: 33, history: false };
        assert!(of("+CNEC_ESM", "33,1").contains(&Fact::Reject(esm)));
    }
}
