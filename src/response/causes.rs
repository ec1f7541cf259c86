//! Causes of refusals in vendors' responses, each on the list that the response names.
//!
//! Numbers above 255 are the vendor's own and no cause of TS 24.301 or TS 24.501; 0 is "none".

use super::Field;
use super::fact_writer::{FactWriter, Taken};
use crate::case::{Fact, Quantity, Reject};
use crate::reference::causes::{CauseList, assigned};

const EXPECTED: &str = "the number of a cause";

/// The cause of a refusal that happens now.
pub(super) fn now(w: &mut FactWriter<'_>, kind: CauseList, field: &Field<'_>) -> Taken {
    cause(w, kind, field, false)
}

/// The cause of the last refusal, which may have been overcome since.
pub(super) fn last(w: &mut FactWriter<'_>, kind: CauseList, field: &Field<'_>) -> Taken {
    cause(w, kind, field, true)
}

fn cause(w: &mut FactWriter<'_>, kind: CauseList, field: &Field<'_>, history: bool) -> Taken {
    if field.is_blank() {
        return Ok(());
    }
    let number: u32 = field.text.parse().map_err(|_| EXPECTED)?;
    if let Some(cause) = u8::try_from(number).ok().filter(|n| *n > 0) {
        w.fact(Fact::Reject(Reject { kind, cause, history }), field.span);
        w.value(Quantity::RejectCause, f64::from(cause), field.span);
    }
    Ok(())
}

/// A bare number: mobility or session management is not named. A number that one list alone assigns
/// belongs to it; any other stays a number.
pub(super) fn unnamed(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let number: u8 = field.text.parse().map_err(|_| EXPECTED)?;
    if number == 0 {
        return Ok(());
    }
    let mobility = assigned(CauseList::Emm, number).is_some();
    let session = assigned(CauseList::Esm, number).is_some();
    match (mobility, session) {
        (true, false) => last(w, CauseList::Emm, field),
        (false, true) => last(w, CauseList::Esm, field),
        _ => {
            w.value(Quantity::RejectCause, f64::from(number), field.span);
            Ok(())
        }
    }
}
