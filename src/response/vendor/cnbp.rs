//! `+CNBP`: the bands that are switched on, as masks.
//!
//! ```text
//! <GSM and UMTS mask>,<LTE mask>[,<TD-SCDMA mask>[,…]]        hexadecimal with 0x, up to 64 digits
//! ```
//!
//! The first mask is an enumeration of its own and not read.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["+CNBP"], "+CNBP?", "bands that are switched on", &[], read);

const MASK: Column =
    Column::Own(|_, f| bands::hex_mask(f.text).map(|_| ()).ok_or("a mask of bands"));
const FORM: &[Column] = &[MASK, MASK, Column::Optional, MASK, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let mask = &reply.fields()[1];
        // The end of a text may have cut the mask.
        let cut = reply.open && reply.fields().len() == 2;
        if let Some(on) = bands::hex_mask(mask.text).filter(|_| !cut) {
            w.fact(Fact::EnabledBands(Rat::Lte, on), mask.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+CNBP: 0x0000000000000000,0x0000000000000042000087E22B0F38DF,0x0000000000000000"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn masks_beyond_64_bands_keep_their_number() {
        let found = of("+CNBP", "0x0,0x00000000000000420000000000000001,0x0");
        assert_eq!(found, [Fact::EnabledBands(Rat::Lte, vec![1, 66, 71])]);
    }
}
