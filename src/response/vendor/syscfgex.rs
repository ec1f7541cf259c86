//! `^SYSCFGEX`: the order of technologies and the bands that are switched on.
//!
//! ```text
//! <order>,<GSM and UMTS mask>,<roaming>,<domain>,<LTE mask>[,…]
//! ```
//!
//! The order is pairs of digits: 00 automatic, 01 GSM, 02 UMTS, 03 LTE, 08 NR, 99 unchanged. Masks of ones mean all, and
//! 40000000 unchanged. Roaming: 0 off, 1 on, 2 unchanged.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::bands::{self, GSM_UTRA_BITS};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SYSCFGEX"], "^SYSCFGEX?", "technologies and bands that are switched on", &[], read);

const MASK: Column = Column::Own(|_, f| f.hex().map(|_| ()).ok_or("a mask of bands"));
const FORM: &[Column] = &[
    Column::Own(order),
    MASK,
    Column::Own(roaming),
    Column::Word(&["0", "1", "2", "3", "4"]),
    MASK,
    Column::Optional,
    Column::Rest,
];
const ALL: u64 = 0x3FFF_FFFF;
const UNCHANGED: u64 = 0x4000_0000;
const ALL_LTE: u64 = 0x7FFF_FFFF_FFFF_FFFF;

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let mask = |n: usize, all: u64| row[n].hex().filter(|m| *m != all && *m != UNCHANGED);
        if let Some(mask) = mask(1, ALL) {
            for rat in [Rat::Gsm, Rat::Utra] {
                let on = bands::shared_mask(mask, GSM_UTRA_BITS, rat);
                if !on.is_empty() {
                    w.fact(Fact::EnabledBands(rat, on), row[1].span);
                }
            }
        }
        // The end of a text may have cut the mask.
        let cut = reply.open && row.len() == 5;
        if let Some(mask) = mask(4, ALL_LTE).filter(|_| !cut) {
            w.fact(
                Fact::EnabledBands(Rat::Lte, bands::number_mask(mask, 1).collect()),
                row[4].span,
            );
        }
        Ok(())
    })
}

fn order(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    const EXPECTED: &str = "pairs of digits";
    let text = field.text;
    if text == "00" || text == "99" {
        return Ok(());
    }
    if !text.is_ascii() || text.is_empty() || !text.len().is_multiple_of(2) {
        return Err(EXPECTED);
    }
    let pair = |at: usize| match &text[at..at + 2] {
        "01" => Some(Rat::Gsm),
        "02" => Some(Rat::Utra),
        "03" => Some(Rat::Lte),
        "08" => Some(Rat::Nr),
        _ => None,
    };
    let allowed: Option<Vec<Rat>> = (0..text.len()).step_by(2).map(pair).collect();
    w.fact(Fact::AllowedTechnologies(allowed.ok_or(EXPECTED)?), field.span);
    Ok(())
}

fn roaming(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match field.text {
        "0" | "1" => w.fact(Fact::RoamingAllowed(field.text == "1"), field.span),
        "2" => {}
        _ => return Err("0 to 2"),
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"^SYSCFGEX: "080302",2000000680380,1,2,1E200000095"#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says};

    #[test]
    fn an_order_names_the_technologies_and_full_masks_say_nothing() {
        let found = of("^SYSCFGEX", "\"080302\",2000000680380,1,2,1E200000095");
        assert!(says(&found, &Fact::AllowedTechnologies(vec![Rat::Nr, Rat::Lte, Rat::Utra])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![1, 3, 5, 8, 34, 38, 39, 40, 41])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Utra, vec![1, 8])));
        let all = of("^SYSCFGEX", "\"00\",3FFFFFFF,0,2,7FFFFFFFFFFFFFFF");
        assert_eq!(all, [Fact::RoamingAllowed(false)]);
    }
}
