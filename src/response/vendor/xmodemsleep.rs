//! `%XMODEMSLEEP`: the modem sleeps or wakes.
//!
//! ```text
//! <kind>,<milliseconds>          time 0, or left out: awake; kinds 1 power saving, 2 between pagings, 4 flight mode, 7 none
//! ```

use super::family;
use crate::case::{Fact, Facts, Power};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%XMODEMSLEEP"], "", "power saving begins or ends", &[], read);

const FORM: &[Column] =
    &[Column::Word(&["1", "2", "3", "4", "5", "6", "7"]), Column::Optional, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        // Between pagings the modem sleeps all the time.
        if reply.text(0) == "1" && !reply.open {
            let awake = matches!(reply.text(1), "" | "0");
            w.fact(Fact::Power(if awake { Power::Awake } else { Power::Asleep }), reply.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XMODEMSLEEP: 1,36000"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power};
    use crate::response::sample::of;

    #[test]
    fn a_time_of_zero_is_waking() {
        assert_eq!(of("%XMODEMSLEEP", "1,36000"), [Fact::Power(Power::Asleep)]);
        assert_eq!(of("%XMODEMSLEEP", "1,0"), [Fact::Power(Power::Awake)]);
        assert_eq!(of("%XMODEMSLEEP", "2,1280"), []);
    }
}
