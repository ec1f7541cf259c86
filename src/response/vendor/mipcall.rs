//! `+MIPCALL`: the data session of the module's own stack: `0` closed, `1[,<address>]` open, `<address>`; from memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::reference::status_words::SessionState;
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};
use std::net::Ipv4Addr;

pub(super) static FAMILY: Family =
    family(&["+MIPCALL"], "+MIPCALL?", "the data session of the module's own stack", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let state = match reply.text(0) {
            "0" => SessionState::Inactive,
            "1" => SessionState::Active,
            text if text.parse::<Ipv4Addr>().is_ok_and(|ip| !ip.is_unspecified()) => {
                SessionState::Active
            }
            _ => return Err(reply.no_form(0)),
        };
        w.row(reply, &[Column::Rest])?;
        w.fact(Fact::Session(state), row[0].span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+MIPCALL: 0", "+MIPCALL: 192.0.2.7"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::reference::status_words::SessionState;
    use crate::response::sample::of;

    #[test]
    fn an_address_shows_an_open_session() {
        let open = [Fact::Session(SessionState::Active)];
        assert_eq!(of("+MIPCALL", "192.0.2.7"), open);
        assert_eq!(of("+MIPCALL", "1,192.0.2.7"), open);
        assert_eq!(of("+MIPCALL", "0"), [Fact::Session(SessionState::Inactive)]);
        assert!(of("+MIPCALL", "soon").is_empty());
    }
}
