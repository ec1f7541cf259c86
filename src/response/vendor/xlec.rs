//! `+XLEC`: the carriers in use.
//!
//! ```text
//! <n>,<carriers>,<width index>…,BAND_LTE_<n>…        a width and a band for each carrier; layout seen once
//! ```

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response, bands};
use Column::{Figure, Text};

pub(super) static FAMILY: Family = family(
    &["+XLEC"],
    "+XLEC?",
    "carriers in use with band and width",
    &[Quantity::Band, Quantity::BandwidthMhz],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let carriers = row.get(1).and_then(|f| f.small()).map_or(0, usize::from);
        if !(1..=5).contains(&carriers) || row.len() != 2 + 2 * carriers {
            return Err(reply.no_form(1));
        }
        // A band's number may be cut at the end of a text.
        if reply.open {
            return Ok(());
        }
        let mut form = vec![Figure; 2 + carriers];
        form.extend(std::iter::repeat_n(Text, carriers));
        w.row(reply, &form)?;
        for n in 0..carriers {
            let (width, name) = (&row[2 + n], &row[2 + carriers + n]);
            let Some(number) = bands::named(name.text) else {
                return Err(reply.no_form(2 + carriers + n));
            };
            w.turn_to(if n == 0 { Cell::Serving } else { Cell::Secondary });
            w.value(Quantity::Band, f64::from(number), name.span);
            w.lte_width(Quantity::BandwidthMhz, width).map_err(|_| reply.no_form(2 + n))?;
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+XLEC: 0,2,5,3,BAND_LTE_3,BAND_LTE_20"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_carriers_in_use_have_band_and_width() {
        let one = of("+XLEC", "0,1,4,BAND_LTE_1");
        assert_eq!(numbers(&one, Quantity::Band), [1.0]);
        assert_eq!(numbers(&one, Quantity::BandwidthMhz), [15.0]);
        let two = of("+XLEC", "0,2,5,3,BAND_LTE_3,BAND_LTE_20");
        assert_eq!(numbers(&two, Quantity::Band), [3.0]);
        assert_eq!(numbers(&two, Quantity::BandwidthMhz), [20.0]);
    }
}
