//! `#CEER`, `%CEER`, `+QCEER`: why the last attempt failed, in words; causes of the standards by name or number.
//!
//! Words that name none are the vendor's own and say nothing. From memory.

use super::family;
use crate::case::{Fact, Facts, Quantity, Reject};
use crate::response::columns::whole;
use crate::response::standard::failure::causes_in_words;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["#CEER", "%CEER", "+QCEER"],
    "#CEER",
    "why the last attempt failed (history)",
    &[Quantity::RejectCause],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        // The end of a text may have cut a number.
        if reply.open {
            return Err(reply.no_form(0));
        }
        let causes = causes_in_words(reply.body);
        for (kind, cause) in &causes {
            let reject = Reject { kind: *kind, cause: *cause, history: true };
            w.fact(Fact::Reject(reject), reply.span);
            w.value(Quantity::RejectCause, f64::from(*cause), reply.span);
        }
        let none = reply.body.to_ascii_lowercase().contains("no error") || reply.body.trim() == "0";
        if causes.is_empty() && !none { Err(reply.no_form(0)) } else { Ok(()) }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#CEER: EMM cause 15"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::of;

    #[test]
    fn a_name_of_the_standards_is_a_cause() {
        let emm = Reject { kind: CauseList::Emm, cause: 15, history: true };
        assert!(of("#CEER", "EMM cause 15").contains(&Fact::Reject(emm)));
        assert!(of("#CEER", "Normal call clearing").is_empty());
    }
}
