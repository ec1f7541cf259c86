//! `+QICSGP`: the access point name of a session of the module's own; from memory.
//!
//! ```text
//! <type>,"<name>","<user>","<password>",<authentication>          the context is that of the request
//! ```

use super::access_point;
use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QICSGP"],
    "+QICSGP=1",
    "the access point name of the module's own sessions",
    &[Quantity::Apn],
    read,
);

const FORM: &[Column] = &[
    Column::Word(&["1", "2", "3"]),
    Column::Text,
    Column::Text,
    Column::Text,
    Column::Word(&["0", "1", "2", "3"]),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let Some(cid) =
            reply.request.split_once('=').and_then(|(_, cid)| cid.trim().parse::<u8>().ok())
        else {
            return Err(reply.no_form(0));
        };
        let name = &row[1];
        // Without quotes the end of a text may have cut the name.
        if name.quoted || !reply.open {
            access_point::stored(w, cid, access_point::kind(reply.text(0)), name);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QICSGP: 1,"gauges.example","","",0"#];

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn name(text: &str) -> Option<String> {
        let case = Case::read(&Capture::new(text));
        case.sessions.contexts.get(&1).and_then(|h| h.latest()).map(|o| o.value.apn.to_string())
    }

    #[test]
    fn the_context_is_that_of_the_request() {
        let read = "AT+QICSGP=1\n+QICSGP: 1,\"gauges.example\",\"\",\"\",0\nOK\n";
        assert_eq!(name(read).as_deref(), Some("gauges.example"));
        assert_eq!(name("AT+QICSGP=1\n+QICSGP: 1,\"\",\"\",\"\",0\nOK\n"), None);
    }
}
