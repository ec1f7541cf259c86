//! `+CNMP`: the technologies that are allowed.
//!
//! 2 automatic, 13 GSM, 14 UMTS, 38 LTE, 51 GSM and LTE; 19, 22, 48, 54, 60, 63, 67, 71 and 109 from memory.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CNMP"], "+CNMP?", "technologies that are allowed", &[], read);

const FORM: &[Column] = &[Column::Own(mode)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "2" => return Ok(()),
        "13" => &[Rat::Gsm],
        "14" => &[Rat::Utra],
        "19" | "22" => &[Rat::Gsm, Rat::Utra],
        "38" => &[Rat::Lte],
        "51" => &[Rat::Gsm, Rat::Lte],
        "54" => &[Rat::Utra, Rat::Lte],
        "39" | "67" => &[Rat::Gsm, Rat::Utra, Rat::Lte],
        "71" => &[Rat::Nr],
        "109" => &[Rat::Lte, Rat::Nr],
        "9" | "10" | "48" | "55" | "59" | "60" | "63" => return Ok(()),
        _ => return Err("a mode that is known"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CNMP: 38"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, with_form};

    use crate::response::{Form, Read};

    #[test]
    fn a_number_names_the_technologies_that_are_allowed() {
        assert_eq!(of("+CNMP", "38"), [Fact::AllowedTechnologies(vec![Rat::Lte])]);
        assert_eq!(of("+CNMP", "51"), [Fact::AllowedTechnologies(vec![Rat::Gsm, Rat::Lte])]);
        assert_eq!(with_form("+CNMP", Form::Read, "2", &[]), (Read::Understood, vec![]));
        assert_eq!(with_form("+CNMP", Form::Test, "(2,13,38)", &[]), (Read::Understood, vec![]));
        assert_eq!(of("+CNMP", "380"), []);
    }
}
