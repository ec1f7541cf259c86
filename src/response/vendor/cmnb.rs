//! `+CMNB`: LTE-M, NB-IoT or both, where LTE is allowed.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CMNB"], "+CMNB?", "technologies that are allowed", &[], read);

const FORM: &[Column] = &[Column::Own(mode)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "1" => &[Rat::LteM],
        "2" => &[Rat::NbIot],
        "3" => &[Rat::LteM, Rat::NbIot],
        _ => return Err("a mode that is known"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CMNB: 3"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn three_is_both() {
        assert_eq!(of("+CMNB", "3"), [Fact::AllowedTechnologies(vec![Rat::LteM, Rat::NbIot])]);
    }
}
