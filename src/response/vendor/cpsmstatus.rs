//! `+CPSMSTATUS`: power saving begins or ends: silence after it is no fault.
//!
//! ```text
//! "ENTER PSM"          "EXIT PSM"          with or without quotes
//! ```

use super::family;
use crate::case::{Fact, Facts, Power};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CPSMSTATUS"], "", "power saving begins or ends", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let power = match reply.text(0).to_ascii_uppercase().as_str() {
            "ENTER PSM" => Power::Asleep,
            "EXIT PSM" => Power::Awake,
            _ => return Err(reply.no_form(0)),
        };
        w.fact(Fact::Power(power), reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CPSMSTATUS: "ENTER PSM""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power};
    use crate::response::sample::of;

    #[test]
    fn sleep_and_waking_are_marks() {
        assert_eq!(of("+CPSMSTATUS", "\"ENTER PSM\""), [Fact::Power(Power::Asleep)]);
        assert_eq!(of("+CPSMSTATUS", "EXIT PSM"), [Fact::Power(Power::Awake)]);
    }
}
