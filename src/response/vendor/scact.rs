//! `!SCACT`: the activation of contexts.
//!
//! ```text
//! <cid>,<0|1>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["!SCACT"], "!SCACT?", "which contexts are active", &[], read);

const FORM: &[Column] = &[Column::Figure, Column::Word(&["0", "1"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let cid = sessions::context(&row[0], 1).map_err(|_| reply.no_form(0))?;
        sessions::active(w, cid, &row[1], &["1"], &["0"]).map_err(|_| reply.no_form(1))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["!SCACT: 1,1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn each_context_has_its_state() {
        assert_eq!(of("!SCACT", "3,1"), [Fact::Active(3, true)]);
        assert_eq!(of("!SCACT", "1,0"), [Fact::Active(1, false)]);
    }
}
