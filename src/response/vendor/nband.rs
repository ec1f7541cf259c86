//! `+NBAND`: the bands of NB-IoT that are switched on, as a list.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["+NBAND"], "+NBAND?", "bands that are switched on", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let on = bands::from_fields(row).ok_or_else(|| reply.no_form(0))?;
        w.row(reply, &vec![Column::Figure; row.len()])?;
        // A text that ends here may have lost bands.
        if !reply.open {
            w.fact(Fact::EnabledBands(Rat::NbIot, on), row[0].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+NBAND:8,20"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn a_list_names_its_bands() {
        assert_eq!(of("+NBAND", "8,20"), [Fact::EnabledBands(Rat::NbIot, vec![8, 20])]);
    }
}
