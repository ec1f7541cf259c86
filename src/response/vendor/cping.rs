//! `+CPING`: whether packets come back; from memory.
//!
//! ```text
//! 1,<address>,<bytes>,<ms>,<ttl>          one that does
//! 2                                       one that does not
//! 3,<sent>,<received>,<lost>,<ms>,<ms>,<ms>          the sum
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["+CPING"], "", "whether packets come back", &[], read);

const REPLY: &[Column] =
    &[Column::Figure, Column::Text, Column::Figure, Column::Figure, Column::Figure];
const SUM: &[Column] = &[
    Column::Figure,
    Column::Figure,
    Column::Own(|w, f| traffic::passed(w, traffic::canonical(f)? > 0, f.span)),
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.text(0) {
        "1" => {
            w.row(reply, REPLY)?;
            traffic::passed(w, true, reply.span).map_err(|_| reply.no_form(0))
        }
        "2" => {
            w.row(reply, &[Column::Figure])?;
            traffic::passed(w, false, reply.span).map_err(|_| reply.no_form(0))
        }
        "3" => w.row(reply, SUM),
        _ => Err(reply.no_form(0)),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+CPING: 1,192.0.2.1,64,410,255", "+CPING: 3,4,4,0,410,627,485", "+CPING: 2"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(of("+CPING", "1,192.0.2.1,64,410,255"), [Fact::Traffic(true)]);
        assert_eq!(of("+CPING", "2"), [Fact::Traffic(false)]);
        assert_eq!(of("+CPING", "3,4,0,4,0,0,0"), [Fact::Traffic(false)]);
    }
}
