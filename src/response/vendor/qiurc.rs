//! `+QIURC`: events of the module's own stack that come by themselves.
//!
//! ```text
//! "pdpdeact",<cid>                                  the network, or the modem, closed the session
//! "dnsgip",0,<count>,<ttl>    "dnsgip",<error>      "dnsgip","<address>"
//! "closed",<id>   "recv",<id>…   "incoming",…       of a socket
//! ```
//!
//! The errors of names are from memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};
use crate::response::{sessions, traffic};

pub(super) static FAMILY: Family =
    family(&["+QIURC"], "", "events of the module's own stack", &[], read);

const DOWN: &[Column] = &[
    Column::Text,
    Column::Own(|w, f| {
        let cid = sessions::context(f, 1)?;
        w.fact(Fact::Active(cid, false), f.span);
        Ok(())
    }),
];
const ADDRESS: &[Column] = &[Column::Text, Column::Text];
const NAME: &[Column] = &[
    Column::Text,
    Column::Own(|w, f| traffic::resolved(w, traffic::canonical(f)? == 0, f.span)),
    Column::Optional,
    Column::Figure,
    Column::Figure,
];
const OTHER: &[Column] = &[Column::Text, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.text(0).to_ascii_lowercase().as_str() {
        "pdpdeact" => w.row(reply, DOWN),
        "dnsgip" if reply.fields().get(1).is_some_and(|f| f.quoted) => w.row(reply, ADDRESS),
        "dnsgip" => w.row(reply, NAME),
        "recv" => {
            w.row(reply, OTHER)?;
            traffic::passed(w, true, reply.span).map_err(|_| reply.no_form(0))
        }
        "closed" | "incoming" | "incoming full" => w.row(reply, OTHER),
        _ => Err(reply.no_form(0)),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QIURC: "pdpdeact",1"#, r#"+QIURC: "dnsgip",565"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_word_chooses_the_event() {
        assert_eq!(of("+QIURC", "\"pdpdeact\",1"), [Fact::Active(1, false)]);
        assert_eq!(of("+QIURC", "\"recv\",0"), [Fact::Traffic(true)]);
        assert_eq!(of("+QIURC", "\"closed\",0"), []);
        assert_eq!(
            of("+QIURC", "\"dnsgip\",565"),
            [Fact::NameResolved(false), Fact::Traffic(false)]
        );
        assert_eq!(
            of("+QIURC", "\"dnsgip\",0,1,600"),
            [Fact::NameResolved(true), Fact::Traffic(true)]
        );
    }
}
