//! `$QCRMCALL`: the calls of the network interface; a call that came up gives its kind.
//!
//! ```text
//! <instance>,V4|V6          <n>, V4
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["$QCRMCALL"], "$QCRMCALL?", "the call of the network interface", &[], read);

const FORM: &[Column] = &[Column::Word(&["0", "1", "2"]), Column::Word(&["V4", "V6", "V4V6"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        w.fact(Fact::Opening(true), reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["$QCRMCALL: 1, V4"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_call_that_came_up_gives_its_kind() {
        assert_eq!(of("$QCRMCALL", "1, V4"), [Fact::Opening(true)]);
    }
}
