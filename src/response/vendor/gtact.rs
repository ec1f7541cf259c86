//! `+GTACT`, `+GTRAT`, `+XACT`: technologies and bands that are switched on.
//!
//! ```text
//! <mode>,<first>,<second>[,<band>…]       +100 for E-UTRA, NR numbers begin with 50; 0 for automatic
//! ```
//!
//! Mode: 1 UMTS, 2 LTE, 4 LTE and UMTS, 10 automatic, 14 NR, 16 NR and UMTS, 17 NR and LTE, 20 all; the second and third
//! fields are preferences. 0 is GSM, 3 GSM and UMTS, 5 GSM and LTE, 6 all three, from memory.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands};

pub(super) static FAMILY: Family = family(
    &["+GTACT", "+GTRAT", "+XACT"],
    "+GTACT?",
    "technologies and bands that are switched on",
    &[],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let mut form = vec![Column::Own(mode), Column::Figure, Column::Figure];
        form.resize(row.len().max(3), Column::Own(band));
        w.row(reply, &form)?;
        // A text that ends here may have lost bands.
        if reply.open {
            return Ok(());
        }
        let codes: Vec<_> = row.iter().skip(3).filter_map(|f| code(f.text)).collect();
        for rat in [Rat::Utra, Rat::Lte, Rat::Nr] {
            let on: Vec<u16> = codes.iter().filter(|(r, _)| *r == rat).map(|(_, b)| *b).collect();
            if !on.is_empty() {
                w.fact(Fact::EnabledBands(rat, on), row[3].span);
            }
        }
        Ok(())
    })
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "0" => &[Rat::Gsm],
        "1" => &[Rat::Utra],
        "2" => &[Rat::Lte],
        "3" => &[Rat::Gsm, Rat::Utra],
        "4" => &[Rat::Lte, Rat::Utra],
        "5" => &[Rat::Gsm, Rat::Lte],
        "14" => &[Rat::Nr],
        "16" => &[Rat::Nr, Rat::Utra],
        "17" => &[Rat::Nr, Rat::Lte],
        "6" | "10" | "20" => return Ok(()),
        _ => return Err("a mode"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

fn code(text: &str) -> Option<(Rat, u16)> {
    text.parse().ok().and_then(bands::offset)
}

fn band(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let known = field.is_blank() || field.text == "0" || code(field.text).is_some();
    known.then_some(()).ok_or("a band code")
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+GTACT: 17,,,103,120,5078"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says, with_form};

    use crate::response::{Form, Read};

    #[test]
    fn offset_codes_are_sorted_by_technology() {
        let found = of("+GTACT", "17,,,103,120,5078");
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![3, 20])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Nr, vec![78])));
    }

    #[test]
    fn the_same_three_numbers_come_under_several_heads() {
        let both = Fact::AllowedTechnologies(vec![Rat::Lte, Rat::Utra]);
        assert!(says(&of("+XACT", "4,2,1,1,8,103,120"), &both));
        let all = with_form("+GTRAT", Form::Read, "20,6,3", &[]);
        assert_eq!(all, (Read::Understood, vec![]));
    }
}
