//! `+URAT`: the technologies that are allowed, in order of preference.
//!
//! ```text
//! <technology>[,<technology>[,<technology>]]
//! ```
//!
//! The numbers up to 6 differ between generations and name combinations; from memory.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+URAT"], "+URAT?", "technologies that are allowed", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let form = vec![Column::Own(number); row.len().min(4)];
        w.row(reply, &form)?;
        let allowed: Option<Vec<Rat>> = row.iter().map(|f| technology(f.text)).collect();
        // A text that ends here may have lost technologies.
        if let Some(allowed) = allowed.filter(|_| !reply.open) {
            w.fact(Fact::AllowedTechnologies(allowed), reply.span);
        }
        Ok(())
    })
}

fn technology(number: &str) -> Option<Rat> {
    match number {
        "0" | "9" => Some(Rat::Gsm),
        "2" => Some(Rat::Utra),
        "3" => Some(Rat::Lte),
        "7" => Some(Rat::LteM),
        "8" => Some(Rat::NbIot),
        _ => None,
    }
}

fn number(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let known = field.text.len() == 1 && field.text.bytes().all(|b| b.is_ascii_digit());
    known.then_some(()).ok_or("the number of a technology")
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+URAT: 7,8"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn a_blank_before_the_comma_is_no_fault() {
        assert_eq!(of("+URAT", "7 ,8"), [Fact::AllowedTechnologies(vec![Rat::LteM, Rat::NbIot])]);
        assert_eq!(of("+URAT", "1,3"), [], "the first is a combination");
    }
}
