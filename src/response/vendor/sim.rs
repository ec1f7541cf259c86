//! `+SIM`, `+SIMCARD`: a card that comes or goes.
//!
//! ```text
//! +SIM: Inserted|Removed            +SIMCARD: NOT AVAILABLE
//! ```
//!
//! `NOT AVAILABLE` comes with the radio off as well, so that it says nothing of the card.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+SIM", "+SIMCARD"], "", "a card that comes or goes", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        match reply.body.to_ascii_lowercase().as_str() {
            "inserted" => w.fact(Fact::Sim(Sim::Inserted), reply.span),
            "removed" => w.fact(Fact::Sim(Sim::NotInserted), reply.span),
            "ready" => w.fact(Fact::Sim(Sim::Ready), reply.span),
            "not available" => {}
            _ => return Err(reply.no_form(0)),
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+SIM: Removed"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::of;

    #[test]
    fn a_card_comes_and_goes() {
        assert_eq!(of("+SIM", "Removed"), [Fact::Sim(Sim::NotInserted)]);
        assert_eq!(of("+SIMCARD", "NOT AVAILABLE"), []);
    }
}
