//! `+KBNDCFG`: the bands that are switched on, a line for each technology.
//!
//! ```text
//! <technology>,<mask>          0 LTE-M, 1 NB-IoT, 2 GSM; 22 hexadecimal digits
//! ```

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["+KBNDCFG"], "+KBNDCFG?", "bands that are switched on", &[], read);

const FORM: &[Column] = &[
    Column::Word(&["0", "1", "2"]),
    Column::Own(|_, f| bands::hex_mask(f.text).map(|_| ()).ok_or("a mask of bands")),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let rat = match row[0].text {
            "0" => Rat::LteM,
            "1" => Rat::NbIot,
            // The bits of GSM are of their own kind.
            _ => return Ok(()),
        };
        if let Some(on) = bands::hex_mask(row[1].text).filter(|_| !reply.open) {
            w.fact(Fact::EnabledBands(rat, on), row[1].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+KBNDCFG: 0,000000000000000A0A188E"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn the_first_number_is_the_technology() {
        let on = vec![2, 3, 4, 8, 12, 13, 18, 20, 26, 28];
        assert_eq!(of("+KBNDCFG", "0,000000000000000A0A188E"), [Fact::EnabledBands(Rat::LteM, on)]);
    }
}
