//! `+UUPSDD`: the network, or the modem, closed the session of a profile; comes by itself.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["+UUPSDD"], "", "a session that was closed", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| {
    traffic::canonical(f)?;
    w.fact(Fact::Released(false), f.span);
    Ok(())
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UUPSDD: 0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_session_was_closed() {
        assert_eq!(of("+UUPSDD", "0"), [Fact::Released(false)]);
    }
}
