//! Causes that the network gave: `+QNETRC`, `+QEMMINFO`, `+CNEC_EMM`, `+CNEC_ESM`, `^REJINFO`,
//! `#CEERNET`.
//!
//! Numbers above 255 are the maker's own and no cause of TS 24.301 or TS 24.501; 0 is "none".

use crate::case::{Fact, Facts, Quantity, Reject};
use crate::reference::causes::{CauseList, assigned};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QNETRC", "+QEMMINFO", "+CNEC_EMM", "+CNEC_ESM", "^REJINFO", "#CEERNET"],
    request: "+QNETRC?",
    source: "maker's command",
    about: "the cause of the last refusal",
    yields: &[Quantity::RejectCause],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    match reply.head.to_ascii_uppercase().as_str() {
        "+QNETRC" => {
            let kind = match fields[0].text.to_ascii_lowercase().as_str() {
                "emm_cause" => CauseList::Emm,
                "esm_cause" => CauseList::Esm,
                "5gmm_cause" => CauseList::FiveGmm,
                "5gsm_cause" => CauseList::FiveGsm,
                _ => return Read::UnknownForm,
            };
            cause(&mut pen, kind, fields.get(1), true);
        }
        "+QEMMINFO" | "+CNEC_EMM" => cause(&mut pen, CauseList::Emm, fields.first(), false),
        "+CNEC_ESM" => cause(&mut pen, CauseList::Esm, fields.first(), false),
        "#CEERNET" => unnamed(&mut pen, &fields[0]),
        _ => cause_of_attach(&mut pen, fields),
    }
    pen.done()
}

fn cause(pen: &mut FactWriter<'_>, kind: CauseList, field: Option<&Field<'_>>, history: bool) {
    let Some(field) = field else { return };
    match field.text.parse::<u32>() {
        Ok(number @ 1..=255) => {
            let Ok(cause) = u8::try_from(number) else { return };
            pen.fact(Fact::Reject(Reject { kind, cause, history }), field.span);
            pen.value(Quantity::RejectCause, f64::from(cause), field.span);
        }
        Ok(_) => pen.understood(),
        Err(_) => {}
    }
}

/// A bare number: mobility or session management is not said. A number that one list alone assigns
/// belongs to it; any other stays a number.
fn unnamed(pen: &mut FactWriter<'_>, field: &Field<'_>) {
    let Some(number) = field.small().filter(|n| *n > 0) else {
        if field.int() == Some(0) {
            pen.understood();
        }
        return;
    };
    let mobility = assigned(CauseList::Emm, number).is_some();
    let session = assigned(CauseList::Esm, number).is_some();
    match (mobility, session) {
        (true, false) => cause(pen, CauseList::Emm, Some(field), true),
        (false, true) => cause(pen, CauseList::Esm, Some(field), true),
        _ => {
            pen.value(Quantity::RejectCause, f64::from(number), field.span);
        }
    }
}

/// `<PLMN>,<domain>,<cause>,<technology>,…[,<session cause>]`; only the technology that is
/// LTE's number in the maker's own example has a list that is certain.
fn cause_of_attach(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    if fields.len() < 6 {
        return;
    }
    let kind = match (fields[3].small(), fields[1].small()) {
        (Some(2), Some(1)) => CauseList::Emm,
        _ => return pen.understood(),
    };
    cause(pen, kind, fields.get(2), false);
    cause(pen, CauseList::Esm, fields.get(9), false);
}

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

    #[test]
    fn a_maker_s_own_number_is_no_cause() {
        let emm = Reject { kind: CauseList::Emm, cause: 40, history: false };
        let line = "00101,1,40,2,3,40,\"00574E\",\"FF\",\"0A322400\"";
        let number = Fact::number(Quantity::RejectCause, 40.0, Cell::Serving);
        assert_eq!(of("^REJINFO", line), [Fact::Reject(emm), number]);
        assert!(of("^REJINFO", "00101,1,301,2,3,301,\"00574E\",\"FF\",\"0A322400\"").is_empty());
    }

    #[test]
    fn session_causes_are_kept_apart() {
        let esm = Reject { kind: CauseList::Esm, cause: 33, history: false };
        assert!(of("+CNEC_ESM", "33,1").contains(&Fact::Reject(esm)));
    }

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
