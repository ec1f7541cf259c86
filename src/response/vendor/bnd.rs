//! `#BND`: the bands that are switched on.
//!
//! ```text
//! <GSM index>,<UMTS index>[,<LTE mask>[,<LTE mask from band 65>[,<NSA mask>,<NSA mask>,<SA mask>,<SA mask>]]]
//! ```
//!
//! The first two are enumerations of combinations. The LTE mask is hexadecimal in the long forms; older firmware prints
//! it in decimal where nothing follows it: there only a digit above nine tells, and no band is claimed without one.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["#BND"], "#BND?", "bands that are switched on", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let Some(columns) = [2, 3, 4, 8].into_iter().find(|n| *n == row.len()) else {
            return Err(reply.no_form(2));
        };
        let mut form = vec![Column::Figure; 2];
        form.resize(columns, Column::Own(mask));
        w.row(reply, &form)?;
        let hexadecimal = columns > 3
            || row.get(2).is_some_and(|f| f.text.bytes().any(|b| b.is_ascii_alphabetic()));
        // The mask may go on in a field that was cut off.
        if hexadecimal && !reply.open {
            both(w, Rat::Lte, &row[2..columns.min(4)]);
            if columns == 8 {
                both(w, Rat::Nr, &row[6..8]);
            }
        }
        Ok(())
    })
}

fn mask(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    bands::hex_mask(field.text).map(|_| ()).ok_or("a mask of bands")
}

/// A mask and the one that goes on from band 65.
fn both(w: &mut FactWriter<'_>, rat: Rat, masks: &[Field<'_>]) {
    let bands: Vec<u16> = [0, 64]
        .into_iter()
        .zip(masks)
        .flat_map(|(from, f)| {
            bands::hex_mask(f.text).unwrap_or_default().into_iter().map(move |b| b + from)
        })
        .collect();
    if let Some(field) = masks.first().filter(|_| !bands.is_empty()) {
        w.fact(Fact::EnabledBands(rat, bands), field.span);
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#BND: 0,22,A7E2BB0F38DF,42"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn the_second_word_goes_on_with_band_65() {
        let bands = of("#BND", "0,22,A7E2BB0F38DF,42");
        assert!(
            matches!(&bands[0], Fact::EnabledBands(Rat::Lte, b) if b.contains(&20) && b.contains(&66) && b.contains(&71))
        );
        assert_eq!(of("#BND", "0,22,524420"), [], "decimal or hexadecimal");
    }
}
