//! `!GETBAND`: the band in use, by its name.

use super::family;
use crate::case::{Fact, Facts, Quantity, Service};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["!GETBAND"], "!GETBAND?", "the band in use", &[Quantity::Band], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.body.eq_ignore_ascii_case("No Service") {
            w.fact(Fact::Service(Service::None), reply.span);
            return Ok(());
        }
        let number = bands::named(reply.body).ok_or_else(|| reply.no_form(0))?;
        // The end of a text may have cut the number.
        if !reply.open {
            w.value(Quantity::Band, f64::from(number), reply.fields()[0].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["!GETBAND: LTE B2"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn a_name_ends_in_its_number() {
        assert_eq!(numbers(&of("!GETBAND", "LTE B2"), Quantity::Band), [2.0]);
    }
}
