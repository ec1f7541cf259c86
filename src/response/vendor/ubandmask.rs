//! `+UBANDMASK`: the bands that are switched on, as decimal masks.
//!
//! ```text
//! <technology>,<mask>[,<mask from band 65>][,<technology>,…]        0 LTE-M, 1 NB-IoT, 2 GSM
//! ```
//!
//! The number of fields tells the form: 2 and 4 have one mask for each technology, 3 and 6 two. The bits of GSM are of
//! their own kind and not read.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["+UBANDMASK"], "+UBANDMASK?", "bands that are switched on", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let words = match row.len() {
            2 | 4 => 1,
            3 | 6 => 2,
            _ => return Err(reply.no_form(0)),
        };
        let form: Vec<Column> = (0..row.len())
            .map(|n| if n % (words + 1) == 0 { TECHNOLOGY } else { Column::Own(mask) })
            .collect();
        w.row(reply, &form)?;
        // A text that ends here may have lost a mask or some of its digits.
        if reply.open {
            return Ok(());
        }
        for group in row.chunks(words + 1) {
            let rat = match group[0].text {
                "0" => Rat::LteM,
                "1" => Rat::NbIot,
                _ => continue,
            };
            let on = group[1..].iter().zip([1, 65]).flat_map(|(f, first)| {
                bands::number_mask(f.text.parse().unwrap_or_default(), first)
            });
            w.fact(Fact::EnabledBands(rat, on.collect()), group[1].span);
        }
        Ok(())
    })
}

const TECHNOLOGY: Column = Column::Word(&["0", "1", "2"]);

fn mask(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    field.text.parse::<u64>().map(|_| ()).map_err(|_| "a decimal mask")
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UBANDMASK: 0,168761503,1,168761503"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says};

    #[test]
    fn the_number_of_fields_tells_the_form() {
        assert_eq!(of("+UBANDMASK", "0,1,2"), [Fact::EnabledBands(Rat::LteM, vec![1, 66])]);
        let found = of("+UBANDMASK", "0,128,1,524288");
        assert!(says(&found, &Fact::EnabledBands(Rat::NbIot, vec![20])));
    }
}
