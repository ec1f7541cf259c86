//! `+CNCFG`: the access point names of the module's own sessions; from memory.
//!
//! ```text
//! <id>,<type>,"<name>","<user>","<password>",<authentication>          ids count from 0
//! ```

use super::access_point;
use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+CNCFG"],
    "+CNCFG?",
    "the access point name of the module's own sessions",
    &[Quantity::Apn],
    read,
);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Word(&["0", "1", "2", "3", "4"]),
    Column::Text,
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let Some(cid) = reply.text(0).parse::<u8>().ok().filter(|n| *n < 8).map(|n| n + 1) else {
            return Err(reply.no_form(0));
        };
        let name = &row[2];
        // Without quotes the end of a text may have cut the name.
        if name.quoted || !reply.open {
            access_point::stored(w, cid, access_point::kind(reply.text(1)), name);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CNCFG: 0,1,"gauges.example","","",0"#];

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn name(text: &str) -> Option<String> {
        let case = Case::read(&Capture::new(text));
        case.sessions.contexts.get(&1).and_then(|h| h.latest()).map(|o| o.value.apn.to_string())
    }

    #[test]
    fn ids_count_from_zero() {
        let read = "AT+CNCFG?\n+CNCFG: 0,1,\"gauges.example\",\"\",\"\",0\nOK\n";
        assert_eq!(name(read).as_deref(), Some("gauges.example"));
    }
}
