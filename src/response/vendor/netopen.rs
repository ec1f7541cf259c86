//! `+NETOPEN`: the service of the module's own stack.
//!
//! ```text
//! +NETOPEN: <0, or an error>          comes by itself after the command
//! +NETOPEN: <0 closed | 1 open>[,…]   read
//! ```
//!
//! In the answer to a read, as in the other form, 0 and 1 stand for opposite things, so that the request tells.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};
use crate::response::{sessions, traffic};

pub(super) static FAMILY: Family =
    family(&["+NETOPEN"], "+NETOPEN?", "the service of the module's own stack", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        if reply.request.ends_with('?') {
            w.row(reply, &[Column::Word(&["0", "1"]), Column::Optional, Column::Rest])?;
            return sessions::active(w, 1, &row[0], &["1"], &["0"]).map_err(|_| reply.no_form(0));
        }
        w.row(reply, &[Column::Own(|_, f| traffic::canonical(f).map(|_| ()))])?;
        // Without its request 0 and 1 may be either.
        let known = !matches!(reply.form, Form::Unknown) || !matches!(reply.text(0), "0" | "1");
        if known {
            w.fact(Fact::Opening(reply.text(0) == "0"), row[0].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+NETOPEN: 0"];

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn opened(text: &str) -> Option<bool> {
        Case::read(&Capture::new(text)).sessions.opening.latest().map(|o| o.value)
    }

    #[test]
    fn the_request_tells_what_the_number_means() {
        assert_eq!(opened("AT+NETOPEN\n+NETOPEN: 0\nOK\n"), Some(true));
        assert_eq!(opened("AT+NETOPEN\n+NETOPEN: 1\nERROR\n"), Some(false));
        assert_eq!(opened("AT+NETOPEN?\n+NETOPEN: 1\nOK\n"), None);
        assert_eq!(opened("+NETOPEN: 3\n"), Some(false));
        assert_eq!(opened("+NETOPEN: 0\n"), None);
    }
}
