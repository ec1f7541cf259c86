//! `+UPSND`: the state of a data session: parameter 0 its address, 8 whether it is active; from memory.
//!
//! ```text
//! <profile>,0,"<address>"          <profile>,8,<0|1>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+UPSND"], "+UPSND=0,8", "the state and the address of a session", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        w.row(reply, &[Column::Figure, Column::Figure, Column::Text])?;
        // Its profiles count from 0, those of the network from 1.
        let cid = sessions::context(&row[0], 0).map_err(|_| reply.no_form(0))?;
        match row[1].text {
            "0" => sessions::address(w, cid, &row[2]).map_err(|_| reply.no_form(2)),
            "8" => sessions::active(w, cid, &row[2], &["1"], &["0"]).map_err(|_| reply.no_form(2)),
            _ => Ok(()),
        }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UPSND: 0,8,1", r#"+UPSND: 0,0,"192.0.2.7""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_parameter_chooses_the_value() {
        assert_eq!(of("+UPSND", "0,8,1"), [Fact::Active(1, true)]);
        assert_eq!(of("+UPSND", "0,0,\"192.0.2.7\""), [Fact::Address(1, "192.0.2.7".into())]);
    }
}
