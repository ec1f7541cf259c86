//! `#CEERNET`: the number of the last refusal; mobility or session management is not named.
//!
//! A number that one list alone assigns belongs to it; any other stays a number. 0 is none.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::causes;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["#CEERNET"],
    "#CEERNET",
    "the cause of the last refusal",
    &[Quantity::RejectCause],
    read,
);

const FORM: &[Column] = &[Column::Own(causes::unnamed)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#CEERNET: 7"];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::of;

    #[test]
    fn a_bare_number_is_put_on_the_list_that_alone_has_it() {
        let emm = Reject { kind: CauseList::Emm, cause: 7, history: true };
        assert!(of("#CEERNET", "7").contains(&Fact::Reject(emm)));
        let esm = Reject { kind: CauseList::Esm, cause: 43, history: true };
        assert!(of("#CEERNET", "43").contains(&Fact::Reject(esm)));
        let either = Fact::number(Quantity::RejectCause, 111.0, Cell::Serving);
        assert_eq!(of("#CEERNET", "111"), [either]);
        assert!(of("#CEERNET", "0").is_empty());
    }
}
