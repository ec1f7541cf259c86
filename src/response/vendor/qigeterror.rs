//! `+QIGETERROR`: why the last command of the module's own stack failed.
//!
//! ```text
//! <0, or an error>,<words>          +QIGETERROR: 561,Open PDP context failed
//! ```
//!
//! 561 is the data session that could not be opened; the other numbers are those of `+QIOPEN`; from memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::traffic;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QIGETERROR"],
    "+QIGETERROR",
    "why the last command of the module's own stack failed",
    &[],
    read,
);

const FORM: &[Column] = &[Column::Own(reason), Column::Rest];

fn read(response: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(response, facts, FORM)
}

fn reason(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match traffic::canonical(field)? {
        // No error is no proof that anything passed.
        0 | 551..=560 | 562..=564 => {}
        561 => w.fact(Fact::Opening(false), field.span),
        550 | 565..=579 => return traffic::passed(w, false, field.span),
        _ => return Err("0, or an error from 550"),
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QIGETERROR: 561,open PDP context failed"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_session_that_did_not_open_is_told_from_traffic_that_failed() {
        assert_eq!(of("+QIGETERROR", "561,open PDP context failed"), [Fact::Opening(false)]);
        assert_eq!(of("+QIGETERROR", "566,socket connect failed"), [Fact::Traffic(false)]);
        assert!(of("+QIGETERROR", "0,operate successfully").is_empty());
    }
}
