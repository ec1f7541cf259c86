//! Causes that the network gave: `+QNETRC`, `+QEMMINFO`, `+CNEC_EMM`, `+CNEC_ESM`, `^REJINFO`.
//!
//! Numbers above 255 are the maker's own and no cause of TS 24.301 or TS 24.501; 0 is "none".

use super::pen::Pen;
use crate::reply::{CauseKind, Fact, Facts, Family, Field, Quantity, Read, Reject, Reply};

pub(super) static FAMILY: Family = Family {
    heads: &["+QNETRC", "+QEMMINFO", "+CNEC_EMM", "+CNEC_ESM", "^REJINFO"],
    request: "+QNETRC?",
    source: "maker's command",
    about: "the cause of the last refusal",
    yields: &[Quantity::RejectCause],
    read,
};

fn read(reply: &Reply<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = Pen::of_state(reply, facts) else { return Read::UnknownForm };
    match reply.head.to_ascii_uppercase().as_str() {
        "+QNETRC" => {
            let kind = match fields[0].text.to_ascii_lowercase().as_str() {
                "emm_cause" => CauseKind::Emm,
                "esm_cause" => CauseKind::Esm,
                "5gmm_cause" => CauseKind::FiveGmm,
                "5gsm_cause" => CauseKind::FiveGsm,
                _ => return Read::UnknownForm,
            };
            cause(&mut pen, kind, fields.get(1), true);
        }
        "+QEMMINFO" | "+CNEC_EMM" => cause(&mut pen, CauseKind::Emm, fields.first(), false),
        "+CNEC_ESM" => cause(&mut pen, CauseKind::Esm, fields.first(), false),
        _ => cause_of_attach(&mut pen, &fields),
    }
    pen.done()
}

fn cause(pen: &mut Pen<'_>, kind: CauseKind, field: Option<&Field<'_>>, history: bool) {
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

/// `<PLMN>,<domain>,<cause>,<technology>,…[,<session cause>]`; only the technology that is
/// LTE's number in the maker's own example has a list that is certain.
fn cause_of_attach(pen: &mut Pen<'_>, fields: &[Field<'_>]) {
    if fields.len() < 6 {
        return;
    }
    let kind = match (fields[3].small(), fields[1].small()) {
        (Some(2), Some(1)) => CauseKind::Emm,
        _ => return pen.understood(),
    };
    cause(pen, kind, fields.get(2), false);
    cause(pen, CauseKind::Esm, fields.get(9), false);
}

#[cfg(test)]
mod tests {
    use crate::reply::maker::trial::{of, with_form};
    use crate::reply::{CauseKind, Cell, Fact, Form, Quantity, Read, Reject};

    #[test]
    fn the_list_is_named_by_the_key_and_zero_is_none() {
        let emm = Reject { kind: CauseKind::Emm, cause: 7, history: true };
        assert_eq!(
            of("+QNETRC", "\"emm_cause\",7"),
            [Fact::Reject(emm), Fact::Number(Quantity::RejectCause, 7.0, Cell::Serving)]
        );
        assert_eq!(
            with_form("+QNETRC", Form::Read, "\"esm_cause\",0", &[]),
            (Read::Understood, vec![])
        );
    }

    #[test]
    fn a_maker_s_own_number_is_no_cause() {
        let emm = Reject { kind: CauseKind::Emm, cause: 40, history: false };
        let line = "00101,1,40,2,3,40,\"00574E\",\"FF\",\"0A322400\"";
        let number = Fact::Number(Quantity::RejectCause, 40.0, Cell::Serving);
        assert_eq!(of("^REJINFO", line), [Fact::Reject(emm), number]);
        assert!(of("^REJINFO", "00101,1,301,2,3,301,\"00574E\",\"FF\",\"0A322400\"").is_empty());
    }

    #[test]
    fn session_causes_are_kept_apart() {
        let esm = Reject { kind: CauseKind::Esm, cause: 33, history: false };
        assert!(of("+CNEC_ESM", "33,1").contains(&Fact::Reject(esm)));
    }
}
