//! `^SXRAT`: the technologies that are allowed.
//!
//! ```text
//! <technology>[,<preferred>[,<second>]]       0 GSM, 2 UMTS, 3 LTE, 6 LTE-M; combinations limit nothing that is claimed
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SXRAT"], "^SXRAT?", "technologies that are allowed", &[], read);

const FORM: &[Column] = &[Column::Own(mode), Column::Optional, Column::Figure, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "0" => &[Rat::Gsm],
        "2" => &[Rat::Utra],
        "3" => &[Rat::Lte],
        "1" | "4" | "5" | "6" | "7" | "8" | "9" => return Ok(()),
        _ => return Err("a mode that is known"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SXRAT: 3"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn a_number_is_one_technology() {
        assert_eq!(of("^SXRAT", "3"), [Fact::AllowedTechnologies(vec![Rat::Lte])]);
        assert_eq!(of("^SXRAT", "6,3,2"), []);
    }
}
