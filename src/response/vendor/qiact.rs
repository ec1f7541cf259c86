//! `+QIACT`: the module's own data sessions; from memory.
//!
//! ```text
//! <cid>,<state>,<type>[,"<address>"]          1 IPv4, 2 IPv6, 3 both
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QIACT"], "+QIACT?", "data sessions and their addresses", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        w.row(reply, FORM)?;
        let cid = sessions::context(&row[0], 1).map_err(|_| reply.no_form(0))?;
        sessions::active(w, cid, &row[1], &["1"], &["0"]).map_err(|_| reply.no_form(1))?;
        if let (true, Some(address)) = (row[1].text == "1", row.get(3)) {
            sessions::address(w, cid, address).map_err(|_| reply.no_form(3))?;
        }
        Ok(())
    })
}

const FORM: &[Column] = &[
    Column::Figure,
    Column::Word(&["0", "1"]),
    Column::Word(&["1", "2", "3"]),
    Column::Optional,
    Column::Text,
];

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QIACT: 1,1,1,"192.0.2.7""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn an_open_session_has_its_address() {
        let at = Fact::Address(1, "192.0.2.7".into());
        assert_eq!(of("+QIACT", "1,1,1,\"192.0.2.7\""), [Fact::Active(1, true), at]);
    }
}
