//! `+GTRNDIS`: the session of the network interface; from memory.
//!
//! ```text
//! <0 down | 1 up>[,<cid>,"<address>","<name server>","<name server>"]
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+GTRNDIS"], "+GTRNDIS?", "the session of the network interface", &[], read);

const FORM: &[Column] =
    &[Column::Word(&["0", "1"]), Column::Optional, Column::Figure, Column::Text, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let cid =
            row.get(1).map_or(Ok(1), |f| sessions::context(f, 1)).map_err(|_| reply.no_form(1))?;
        sessions::active(w, cid, &row[0], &["1"], &["0"]).map_err(|_| reply.no_form(0))?;
        match row.get(2).filter(|f| row[0].text == "1" && f.quoted) {
            Some(address) => sessions::address(w, cid, address).map_err(|_| reply.no_form(2)),
            None => Ok(()),
        }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &[r#"+GTRNDIS: 1,1,"192.0.2.7","192.0.2.53","192.0.2.54""#, "+GTRNDIS: 0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_session_that_is_up_has_its_address() {
        let at = Fact::Address(1, "192.0.2.7".into());
        let up = of("+GTRNDIS", "1,1,\"192.0.2.7\",\"192.0.2.53\",\"192.0.2.54\"");
        assert_eq!(up, [Fact::Active(1, true), at]);
        assert_eq!(of("+GTRNDIS", "0"), [Fact::Active(1, false)]);
    }
}
