//! `^REJINFO`: a refusal, as it comes while attaching; older firmware answers a read with it as well.
//!
//! ```text
//! <PLMN>,<domain>,<cause>,<technology>,<kind>,<original cause>,"<area>","<RAC>","<cell>"[,<session cause>]
//! ```
//!
//! Numbers above 255 are the vendor's own. Only the technology that is LTE's number in the vendor's own example (2, with
//! domain 1) has a list that is certain.

use super::family;
use crate::case::{Facts, Quantity};
use crate::reference::causes::CauseList;
use crate::response::causes;
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^REJINFO"], "^REJINFO?", "the cause of a refusal", &[Quantity::RejectCause], read);

const LIST: Column = Column::Own(|w, f| causes::now(w, CauseList::Emm, f));
const SESSION: Column = Column::Own(|w, f| causes::now(w, CauseList::Esm, f));

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let certain = reply.text(3) == "2" && reply.text(1) == "1";
        let (cause, session) =
            if certain { (LIST, SESSION) } else { (Column::Figure, Column::Figure) };
        let plmn = Column::Text;
        let domain = Column::Word(&["0", "1", "2"]);
        let (kind, original) = (Column::Figure, Column::Figure);
        let place = [Column::Text; 3];
        let [area, routing, cell] = place;
        let technology = Column::Figure;
        w.row(
            reply,
            &[
                plmn,
                domain,
                cause,
                technology,
                kind,
                original,
                area,
                routing,
                cell,
                Column::Optional,
                session,
            ],
        )
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"^REJINFO: 00101,1,40,2,3,40,"00574E","FF","0A322400""#];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Reject};
    use crate::reference::causes::CauseList;
    use crate::response::sample::of;

    #[test]
    fn a_vendor_s_own_number_is_no_cause() {
        let emm = Reject { kind: CauseList::Emm, cause: 40, history: false };
        let line = "00101,1,40,2,3,40,\"00574E\",\"FF\",\"0A322400\"";
        let number = Fact::number(Quantity::RejectCause, 40.0, Cell::Serving);
        assert_eq!(of("^REJINFO", line), [Fact::Reject(emm), number]);
        assert!(of("^REJINFO", "00101,1,301,2,3,301,\"00574E\",\"FF\",\"0A322400\"").is_empty());
    }
}
