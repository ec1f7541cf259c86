//! `+APP PDP`: a data session came up or went down; comes by itself.
//!
//! ```text
//! [<id>,]ACTIVE|DEACTIVE          ids count from 0; without one where there is one session only
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::sessions;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+APP PDP"], "", "a session that came up or went down", &[], read);

const ID: Column = Column::Word(&["0", "1", "2", "3"]);
const STATE: Column = Column::Word(&["ACTIVE", "DEACTIVE"]);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let alone = row.len() == 1;
        w.row(reply, if alone { &[STATE] } else { &[ID, STATE] })?;
        let cid =
            if alone { 1 } else { sessions::context(&row[0], 0).map_err(|_| reply.no_form(0))? };
        let state = &row[row.len() - 1];
        sessions::active(w, cid, state, &["ACTIVE"], &["DEACTIVE"]).map_err(|_| reply.no_form(1))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+APP PDP: 0,ACTIVE"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_word_is_the_state() {
        assert_eq!(of("+APP PDP", "0,DEACTIVE"), [Fact::Active(1, false)]);
        assert_eq!(of("+APP PDP", "ACTIVE"), [Fact::Active(1, true)]);
    }
}
