//! `+UUPSDA`: a session that was asked for came up, or did not; comes by itself.
//!
//! ```text
//! <0, or an error>[,"<address>"]
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};
use crate::response::{sessions, traffic};

pub(super) static FAMILY: Family =
    family(&["+UUPSDA"], "", "a session that came up, or did not", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| {
        let code = traffic::canonical(f)?;
        w.fact(Fact::Opening(code == 0), f.span);
        Ok(())
    }),
    Column::Optional,
    Column::Text,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        match (reply.text(0), reply.fields().get(1)) {
            ("0", Some(address)) => sessions::address(w, 1, address).map_err(|_| reply.no_form(1)),
            _ => Ok(()),
        }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+UUPSDA: 0,"192.0.2.7""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of, says};

    #[test]
    fn a_session_that_came_up_or_failed_by_itself_is_read() {
        let up = of("+UUPSDA", "0,\"192.0.2.7\"");
        assert!(says(&up, &Fact::Opening(true)));
        assert!(says(&up, &Fact::Address(1, "192.0.2.7".into())));
        assert!(says(&of("+UUPSDA", "68,\"\""), &Fact::Opening(false)));
    }
}
