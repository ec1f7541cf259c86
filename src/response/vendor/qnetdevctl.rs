//! `+QNETDEVCTL`: the session of the network interface; from memory.
//!
//! ```text
//! +QNETDEVCTL: <op>,<cid>,<reports on>,<state>          read
//! +QNETDEVCTL: <cid>,<state>                            comes by itself: 0 down, 1 up
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QNETDEVCTL"], "+QNETDEVCTL?", "the session of the network interface", &[], read);

const STATE: Column = Column::Word(&["0", "1"]);
const READ: &[Column] = &[Column::Figure, Column::Figure, Column::Figure, STATE];
const OWN: &[Column] = &[Column::Figure, STATE];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let (form, cid, state) = if row.len() == 2 { (OWN, 0, 1) } else { (READ, 1, 3) };
        w.row(reply, form)?;
        let cid = sessions::context(&row[cid], 1).map_err(|_| reply.no_form(cid))?;
        sessions::active(w, cid, &row[state], &["1"], &["0"]).map_err(|_| reply.no_form(state))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QNETDEVCTL: 1,1,1,1", "+QNETDEVCTL: 1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_number_of_fields_tells_the_form() {
        assert_eq!(of("+QNETDEVCTL", "1,1,1,1"), [Fact::Active(1, true)]);
        assert_eq!(of("+QNETDEVCTL", "1,0"), [Fact::Active(1, false)]);
    }
}
