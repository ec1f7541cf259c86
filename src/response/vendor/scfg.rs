//! `^SCFG`: settings by name; of the bands, hexadecimal masks in two words.
//!
//! ```text
//! "Radio/Band/4G|CatM|CatNB","<bands 1 to 32>","<bands from 33>"
//! ```
//!
//! Other keys, and older firmware's single value, are known and say nothing that is kept.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["^SCFG"], "^SCFG=\"Radio/Band/4G\"", "bands that are switched on", &[], read);

const MASK: Column = Column::Own(|_, f| {
    bands::hex_mask(f.text).filter(|_| f.quoted).map(|_| ()).ok_or("a mask of bands in quotes")
});
const BANDS: &[Column] = &[Column::Text, MASK, MASK];
const OTHER: &[Column] = &[Column::Text, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let key = row[0].text.to_ascii_lowercase();
        let rat = match key.as_str() {
            "radio/band/4g" => Rat::Lte,
            "radio/band/catm" => Rat::LteM,
            "radio/band/catnb" => Rat::NbIot,
            _ => return w.row(reply, OTHER),
        };
        if row.len() != 3 {
            return w.row(reply, OTHER);
        }
        w.row(reply, BANDS)?;
        let bands = [0, 32].into_iter().zip(&row[1..]).flat_map(|(from, f)| {
            bands::hex_mask(f.text).unwrap_or_default().into_iter().map(move |b| b + from)
        });
        w.fact(Fact::EnabledBands(rat, bands.collect()), row[1].span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"^SCFG: "Radio/Band/CatM","00080004","0010000200000000""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, with_form};

    use crate::response::{Form, Read};

    #[test]
    fn a_mask_in_two_words_goes_on_with_band_33() {
        let found = of("^SCFG", "\"Radio/Band/CatM\",\"00080004\",\"0010000200000000\"");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![3, 20, 66, 85])]);
        let other = with_form("^SCFG", Form::Read, "\"Radio/OutputPowerReduction\",\"4\"", &[]);
        assert_eq!(other, (Read::Understood, vec![]));
    }
}
