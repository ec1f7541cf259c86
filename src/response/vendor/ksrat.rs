//! `+KSRAT`: the technology that is allowed.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+KSRAT"], "+KSRAT?", "technologies that are allowed", &[], read);

const FORM: &[Column] = &[Column::Own(mode)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "0" => &[Rat::LteM],
        "1" => &[Rat::NbIot],
        "2" => &[Rat::Gsm],
        _ => return Err("a mode that is known"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+KSRAT: 1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn a_number_is_one_technology() {
        assert_eq!(of("+KSRAT", "1"), [Fact::AllowedTechnologies(vec![Rat::NbIot])]);
    }
}
