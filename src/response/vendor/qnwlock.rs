//! `+QNWLOCK`: the lock to single cells.
//!
//! ```text
//! "common/4g",<count>[,<EARFCN>,<PCI>…]        0 for no lock
//! "common/5g",<0 | PCI>[,<ARFCN>,<spacing>,<band>]
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QNWLOCK"], "+QNWLOCK=\"common/4g\"", "the lock to single cells", &[], read);

const KEY: Column = Column::Word(&["common/4g", "common/5g", "common/lte"]);
const NONE: &[Column] = &[KEY, Column::Word(&["0"])];
const LOCKED: &[Column] =
    &[KEY, Column::Figure, Column::Figure, Column::Figure, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let locked = reply.fields().len() > 2;
        w.row(reply, if locked { LOCKED } else { NONE })?;
        w.fact(Fact::CellLock(locked), reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &[r#"+QNWLOCK: "common/4g",1,1300,246"#, r#"+QNWLOCK: "common/4g",0"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_lock_names_its_cell_and_a_lone_zero_is_none() {
        assert_eq!(of("+QNWLOCK", "\"common/4g\",1,1300,246"), [Fact::CellLock(true)]);
        assert_eq!(of("+QNWLOCK", "\"common/4g\",0"), [Fact::CellLock(false)]);
    }
}
