//! `%MDMEV`: events of the modem.
//!
//! ```text
//! ME OVERHEATED          ME BATTERY LOW          SEARCH STATUS 1|2          RESET LOOP          PRACH CE-LEVEL <n>
//! ```
//!
//! A light search has ended at 1, a thorough one at 2, without a cell. In a reset loop the modem holds off the attach for
//! half an hour, because it was restarted too often without notice.

use super::family;
use crate::case::{Fact, Facts, Power, Service};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["%MDMEV"], "", "events of the modem", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let fact = match reply.body.trim() {
            "ME OVERHEATED" => Fact::Power(Power::Temperature),
            "ME BATTERY LOW" => Fact::Power(Power::LowVoltage),
            "SEARCH STATUS 1" | "SEARCH STATUS 2" => Fact::Service(Service::Searching),
            "RESET LOOP" => Fact::ResetLoop,
            event if event.starts_with("PRACH CE-LEVEL ") => return Ok(()),
            _ => return Err(reply.no_form(0)),
        };
        w.fact(fact, reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%MDMEV: SEARCH STATUS 2", "%MDMEV: RESET LOOP"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Service};
    use crate::response::sample::of;

    #[test]
    fn each_event_is_one_fact() {
        assert_eq!(of("%MDMEV", "SEARCH STATUS 2"), [Fact::Service(Service::Searching)]);
        assert_eq!(of("%MDMEV", "RESET LOOP"), [Fact::ResetLoop]);
        assert_eq!(of("%MDMEV", "RESET LOO"), []);
    }
}
