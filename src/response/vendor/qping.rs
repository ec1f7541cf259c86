//! `+QPING`: whether packets come back.
//!
//! ```text
//! 0,"<address>",<bytes>,<ms>,<ttl>          for each that does
//! <error>                                   569 for a packet that does not
//! 0,<sent>,<received>,<lost>,<ms>,<ms>,<ms>          the sum; from memory
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["+QPING"], "", "whether packets come back", &[], read);

const REPLY: &[Column] =
    &[Column::Word(&["0"]), Column::Text, Column::Figure, Column::Figure, Column::Figure];
const SUM: &[Column] = &[
    Column::Word(&["0"]),
    Column::Figure,
    Column::Own(|w, f| traffic::passed(w, traffic::canonical(f)? > 0, f.span)),
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.fields().len() {
        1 => w.row(reply, &[traffic::RESULT]),
        5 => {
            w.row(reply, REPLY)?;
            traffic::passed(w, true, reply.span).map_err(|_| reply.no_form(0))
        }
        _ => w.row(reply, SUM),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &[r#"+QPING: 0,"192.0.2.1",32,69,53"#, "+QPING: 0,4,4,0,61,69,64", "+QPING: 569"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(of("+QPING", "0,\"192.0.2.1\",32,69,53"), [Fact::Traffic(true)]);
        assert_eq!(of("+QPING", "569"), [Fact::Traffic(false)]);
        assert_eq!(of("+QPING", "0,4,4,0,61,69,64"), [Fact::Traffic(true)]);
        assert_eq!(of("+QPING", "0,4,0,4,0,0,0"), [Fact::Traffic(false)]);
    }
}
