//! Causes of refusals in vendors' responses, as they come and as the last ones are kept.

#[cfg(test)]
use crate::case::{Fact, Quantity, Reject};
#[cfg(test)]
use crate::reference::causes::CauseList;
use crate::reference::causes::CauseList::{Emm, Esm, FiveGmm, FiveGsm, Gmm, Mm, Sm};
use crate::response::causes;
use crate::response::columns::Column::{self, Figure, Optional, Own, Rest, Text, Word};
#[cfg(test)]
use crate::response::sample::number;
use crate::response::table::When::{Always, Is, Under};
use crate::response::table::responses;

const MOBILITY: Column = Own(|w, f| causes::now(w, Emm, f));
const SESSION: Column = Own(|w, f| causes::now(w, Esm, f));
const COMES: &str = "the cause of a refusal as it comes";
const LAST: &str = "the cause of the last refusal";

#[cfg(test)]
fn refused(kind: CauseList, cause: u8, history: bool) -> Fact {
    Fact::Reject(Reject { kind, cause, history })
}

#[cfg(test)]
fn cause(number_of: u8) -> Fact {
    number(Quantity::RejectCause, f64::from(number_of))
}

responses! {
    // <cause>[,<cid>], as the standard's network error codes come (TS 27.007 §9.1B), and a vendor's.
    ["+CNEC_EMM", "+QEMMINFO"] "" COMES [RejectCause] { Always => [MOBILITY, Optional, Rest] }
        "+CNEC_EMM: 15" => [refused(Emm, 15, false), cause(15)]
        "+QEMMINFO: 7,0" => [refused(Emm, 7, false), cause(7)]
    ["+CNEC_ESM"] "" COMES [RejectCause] { Always => [SESSION, Optional, Rest] }
        "+CNEC_ESM: 33,1" => [refused(Esm, 33, false), cause(33)]
    ["+CNEC_MM", "+CNEC_GMM", "+CNEC_GSM", "+CNEC_5GMM", "+CNEC_5GSM"] "" COMES [RejectCause] {
        Under("+CNEC_MM") => [Own(|w, f| causes::now(w, Mm, f)), Optional, Rest],
        Under("+CNEC_GMM") => [Own(|w, f| causes::now(w, Gmm, f)), Optional, Rest],
        Under("+CNEC_GSM") => [Own(|w, f| causes::now(w, Sm, f)), Optional, Rest],
        Under("+CNEC_5GMM") => [Own(|w, f| causes::now(w, FiveGmm, f)), Optional, Rest],
        Under("+CNEC_5GSM") => [Own(|w, f| causes::now(w, FiveGsm, f)), Optional, Rest],
    }
        "+CNEC_GMM: 14" => [refused(Gmm, 14, false), cause(14)]
        "+CNEC_GSM: 27,1" => [refused(Sm, 27, false), cause(27)]
        "+CNEC_5GMM: 62" => [refused(FiveGmm, 62, false), cause(62)]
    // Mobility or session management is not named; 0 is none.
    ["#CEERNET"] "#CEERNET" LAST [RejectCause] { Always => [Own(causes::unnamed)] }
        "#CEERNET: 7" => [refused(Emm, 7, true), cause(7)]
        "#CEERNET: 43" => [refused(Esm, 43, true), cause(43)]
        "#CEERNET: 111" => [cause(111)]
        "#CEERNET: 0" => []
    // "<list>",<cause>; 0 for none since the start.
    ["+QNETRC"] "+QNETRC?" LAST [RejectCause] {
        Is(&[(0, "emm_cause")]) => [Text, Own(|w, f| causes::last(w, Emm, f))],
        Is(&[(0, "esm_cause")]) => [Text, Own(|w, f| causes::last(w, Esm, f))],
        Is(&[(0, "5gmm_cause")]) => [Text, Own(|w, f| causes::last(w, FiveGmm, f))],
        Is(&[(0, "5gsm_cause")]) => [Text, Own(|w, f| causes::last(w, FiveGsm, f))],
    }
        "+QNETRC: \"emm_cause\",7" => [refused(Emm, 7, true), cause(7)]
        "+QNETRC: \"esm_cause\",0" => []
    // <PLMN>,<domain>,<cause>,<technology>,<kind>,<original cause>,"<area>","<RAC>","<cell>"[,<session cause>]; older
    // firmware answers a read with it as well. Only the technology that is LTE's number in the vendor's own example (2,
    // with domain 1) has a list that is certain; numbers above 255 are the vendor's own.
    ["^REJINFO"] "^REJINFO?" "the cause of a refusal" [RejectCause] {
        Is(&[(1, "1"), (3, "2")]) => [
            Text, Figure, MOBILITY, Figure, Figure, Figure, Text, Text, Text, Optional, SESSION,
        ],
        Always => [
            Text, Word(&["0", "1", "2"]), Figure, Figure, Figure, Figure, Text, Text, Text, Optional, Figure,
        ],
    }
        "^REJINFO: 00101,1,40,2,3,40,\"00574E\",\"FF\",\"0A322400\"" => [refused(Emm, 40, false), cause(40)]
        "^REJINFO: 00101,1,301,2,3,301,\"00574E\",\"FF\",\"0A322400\"" => []
}
