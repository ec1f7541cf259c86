//! `+UUPING`: an echo that came back; comes by itself.
//!
//! ```text
//! <n>,<bytes>,"<name>","<address>",<ttl>,<ms>          ms -1 for one that does not
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::traffic;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = family(&["+UUPING"], "", "whether packets come back", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(
            reply,
            &[
                Column::Figure,
                Column::Figure,
                Column::Text,
                Column::Text,
                Column::Figure,
                Column::Own(time),
            ],
        )
    })
}

fn time(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    traffic::passed(w, traffic::canonical(field)? >= 0, field.span)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+UUPING: 1,32,"host.example","192.0.2.1",55,310"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(
            of("+UUPING", "1,32,\"host.example\",\"192.0.2.1\",55,310"),
            [Fact::Traffic(true)]
        );
        assert_eq!(
            of("+UUPING", "1,32,\"host.example\",\"192.0.2.1\",55,-1"),
            [Fact::Traffic(false)]
        );
    }
}
