//! `#SGACT`: the activation of contexts, or the address of the one that was just activated.
//!
//! ```text
//! <cid>,<0|1>          <address>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#SGACT"], "#SGACT?", "which contexts are active", &[], read);

const FORM: &[Column] = &[Column::Figure, Column::Word(&["0", "1"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.fields().len() == 1 {
            // The context is that of the command: `#SGACT=<cid>,1`.
            let cid = reply
                .request
                .split_once('=')
                .and_then(|(_, v)| v.split(',').next()?.trim().parse().ok());
            let row = reply.fields();
            return match (cid, row[0].text.parse::<std::net::IpAddr>().is_ok() && !reply.open) {
                (Some(cid @ 1..=24), true) => {
                    sessions::address(w, cid, &row[0]).map_err(|_| reply.no_form(0))
                }
                (None, true) => Ok(()),
                _ => Err(reply.no_form(0)),
            };
        }
        w.row(reply, FORM)?;
        let row = reply.fields();
        let cid = sessions::context(&row[0], 1).map_err(|_| reply.no_form(0))?;
        sessions::active(w, cid, &row[1], &["1"], &["0"]).map_err(|_| reply.no_form(1))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#SGACT: 1,1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn each_context_has_its_state() {
        assert_eq!(of("#SGACT", "3,1"), [Fact::Active(3, true)]);
        assert_eq!(of("#SGACT", "1,0"), [Fact::Active(1, false)]);
    }
}
