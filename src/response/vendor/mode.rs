//! `^MODE`: the technology in use; comes by itself.
//!
//! ```text
//! <technology>,<sub-technology>          0 none, 3 GSM, 5 UMTS; 7 is LTE, from memory
//! ```

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["^MODE"], "", "technology in use", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| {
        let rat = match f.text {
            "3" => Rat::Gsm,
            "5" => Rat::Utra,
            "7" => Rat::Lte,
            text if text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit()) => return Ok(()),
            _ => return Err("a technology"),
        };
        w.fact(Fact::Technology(rat), f.span);
        Ok(())
    }),
    Column::Optional,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^MODE: 5,4"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn the_first_number_is_the_technology() {
        assert_eq!(of("^MODE", "5,4"), [Fact::Technology(Rat::Utra)]);
        assert_eq!(of("^MODE", "0,0"), []);
    }
}
