//! `+QIOPEN`, `+QSSLOPEN`: whether a socket was opened, with TLS in the second; comes by itself.
//!
//! ```text
//! <id>,<0, or an error>          550 to 579
//! ```
//!
//! 552 to 560 and 562 to 564 are faults of the request itself; from memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::traffic;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QIOPEN", "+QSSLOPEN"], "", "whether a socket was opened", &[], read);

const FORM: &[Column] = &[Column::Figure, Column::Own(opened)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn opened(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match traffic::canonical(field)? {
        0 => traffic::passed(w, true, field.span),
        551..=560 | 562..=564 => Ok(()),
        550 | 561 | 565..=579 => traffic::passed(w, false, field.span),
        _ => Err("0, or an error from 550"),
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QIOPEN: 0,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+QIOPEN", "0,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+QIOPEN", "0,566"), [Fact::Traffic(false)]);
    }
}
