//! `+CIPPING`: whether packets come back; from memory.
//!
//! ```text
//! <n>,"<address>",<hundreds of ms>,<ttl>          time 600 and ttl 255 for one that does not
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::traffic;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CIPPING"], "", "whether packets come back", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, &[Column::Figure, Column::Text, Column::Own(time), Column::Figure])
    })
}

fn time(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    traffic::passed(w, traffic::canonical(field)? < 600, field.span)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CIPPING: 1,"192.0.2.1",4,55"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(of("+CIPPING", "1,\"192.0.2.1\",4,55"), [Fact::Traffic(true)]);
        assert_eq!(of("+CIPPING", "2,\"192.0.2.1\",600,255"), [Fact::Traffic(false)]);
    }
}
