//! `+SAPBR`: the module's own data sessions; from memory.
//!
//! ```text
//! <cid>,<state>,"<address>"          0 connecting, 1 open, 2 closing, 3 closed
//! ```
//!
//! A second form, by key, gives the settings: `CONTYPE: GPRS`, `APN: …`; it is known and not read.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+SAPBR"], "+SAPBR=2,1", "data sessions and their addresses", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        w.row(reply, FORM)?;
        let cid = sessions::context(&row[0], 1).map_err(|_| reply.no_form(0))?;
        sessions::active(w, cid, &row[1], &["1"], &["0", "2", "3"])
            .map_err(|_| reply.no_form(1))?;
        if let (true, Some(address)) = (row[1].text == "1", row.get(2)) {
            sessions::address(w, cid, address).map_err(|_| reply.no_form(2))?;
        }
        Ok(())
    })
}

const FORM: &[Column] = &[Column::Figure, Column::Word(&["0", "1", "2", "3"]), Column::Text];

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+SAPBR: 1,1,"192.0.2.9""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_closed_session_has_no_address() {
        assert_eq!(of("+SAPBR", "1,3,\"0.0.0.0\""), [Fact::Active(1, false)]);
    }
}
