//! `+NPING`, `+NPINGERR`: whether packets come back.
//!
//! ```text
//! +NPING:<n>,<address>,<ttl>,<ms>          +NPINGERR:<1 timeout | 2 cannot be sent>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+NPING", "+NPINGERR"], "", "whether packets come back", &[], read);

const REPLY: &[Column] = &[Column::Figure, Column::Text, Column::Figure, Column::Figure];
const ERROR: &[Column] = &[Column::Word(&["1", "2"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let passed = reply.is("+NPING");
        w.row(reply, if passed { REPLY } else { ERROR })?;
        traffic::passed(w, passed, reply.span).map_err(|_| reply.no_form(0))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+NPING:1,192.0.2.1,51,1024", "+NPINGERR:1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(of("+NPING", "1,192.0.2.1,51,1024"), [Fact::Traffic(true)]);
        assert_eq!(of("+NPINGERR", "1"), [Fact::Traffic(false)]);
    }
}
