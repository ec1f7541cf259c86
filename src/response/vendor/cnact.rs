//! `+CNACT`: the module's own data sessions.
//!
//! ```text
//! <id>,<state>,"<address>"          ids count from 0; 0 off, 1 on, 2 busy
//! <state>,"<address>"               older
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CNACT"], "+CNACT?", "data sessions and their addresses", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let (state, form): (usize, &[Column]) = match row.len() {
            2 if row[1].quoted => (0, &[STATE, Column::Text]),
            _ => (1, &[ID, STATE, Column::Text]),
        };
        w.row(reply, form)?;
        // Its contexts count from 0, those of the network from 1.
        let cid = if state == 0 {
            1
        } else {
            sessions::context(&row[0], 0).map_err(|_| reply.no_form(0))?
        };
        // Busy is on its way.
        if row[state].text != "2" {
            sessions::active(w, cid, &row[state], &["1"], &["0"])
                .map_err(|_| reply.no_form(state))?;
        }
        if row[state].text == "1" {
            sessions::address(w, cid, &row[state + 1]).map_err(|_| reply.no_form(state + 1))?;
        }
        Ok(())
    })
}

const STATE: Column = Column::Word(&["0", "1", "2"]);
const ID: Column = Column::Word(&["0", "1", "2", "3", "4", "5", "6"]);

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CNACT: 0,1,"192.0.2.103""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn an_open_session_has_its_address_and_a_closed_one_none() {
        let open = |cid| Fact::Active(cid, true);
        let at = |cid, a: &str| Fact::Address(cid, a.into());
        assert_eq!(of("+CNACT", "0,1,\"192.0.2.103\""), [open(1), at(1, "192.0.2.103")]);
        assert_eq!(of("+CNACT", "1,0,\"0.0.0.0\""), [Fact::Active(2, false)]);
        assert_eq!(of("+CNACT", "1,\"192.0.2.9\""), [open(1), at(1, "192.0.2.9")]);
        assert_eq!(of("+CNACT", "0,1,\"192.0.2.1"), []);
    }
}
