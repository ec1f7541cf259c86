//! `+GTDUALSIM`: the card slot in use, counted from 0, and its service.
//!
//! ```text
//! <slot>, "SUB<n>", "<service>"          L, N, W for a technology, NO SERVICE, or words
//! ```

use super::family;
use super::quimslot::SLOT_FROM_ZERO;
use crate::case::{Fact, Facts, Service};
use crate::response::columns::{Column, one_form};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+GTDUALSIM"], "+GTDUALSIM?", "the card slot in use", &[], read);

const FORM: &[Column] =
    &[SLOT_FROM_ZERO, Column::Optional, Column::Text, Column::Own(service), Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

fn service(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    if !field.quoted {
        return Err("a service in quotes");
    }
    if field.text.eq_ignore_ascii_case("NO SERVICE") {
        w.fact(Fact::Service(Service::None), field.span);
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+GTDUALSIM : 0, "SUB1", "L""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Service};
    use crate::response::sample::of;

    #[test]
    fn slots_are_counted_from_one_whatever_the_modem_does() {
        assert_eq!(of("+GTDUALSIM", "1, \"SUB1\", \"L\""), [Fact::SimSlot(2)]);
        let none = of("+GTDUALSIM", "0, \"SUB1\", \"NO SERVICE\"");
        assert_eq!(none, [Fact::SimSlot(1), Fact::Service(Service::None)]);
    }
}
