//! `+CSTT`: the access point name of the module's own session; from memory.
//!
//! ```text
//! "<name>","<user>","<password>"
//! ```

use super::access_point;
use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+CSTT"],
    "+CSTT?",
    "the access point name of the module's own sessions",
    &[Quantity::Apn],
    read,
);

const FORM: &[Column] = &[Column::Text, Column::Optional, Column::Text, Column::Text];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let row = reply.fields();
        let Some(cid) = Some(1) else { return Err(reply.no_form(0)) };
        let name = &row[0];
        // Without quotes the end of a text may have cut the name.
        if name.quoted || !reply.open {
            access_point::stored(w, cid, "IP", name);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CSTT: "gauges.example","","""#];

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn name(text: &str) -> Option<String> {
        let case = Case::read(&Capture::new(text));
        case.sessions.contexts.get(&1).and_then(|h| h.latest()).map(|o| o.value.apn.to_string())
    }

    #[test]
    fn the_name_stands_first() {
        let read = "AT+CSTT?\n+CSTT: \"gauges.example\",\"\",\"\"\nOK\n";
        assert_eq!(name(read).as_deref(), Some("gauges.example"));
    }
}
