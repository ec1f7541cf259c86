//! `+QMTPUB`, `+QMTPUBEX`, `+QMTSUB`: whether a message reached the server of MQTT, or a subscription did.
//!
//! ```text
//! <id>,<message>,<0 sent and answered | 1 sent again | 2 failed>[,…]
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QMTPUB", "+QMTPUBEX", "+QMTSUB"],
    "",
    "whether a message reached the server of MQTT",
    &[],
    read,
);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Figure,
    Column::Own(|w, f| match f.text {
        "0" | "2" => traffic::passed(w, f.text == "0", f.span),
        "1" => Ok(()),
        _ => Err("0 to 2"),
    }),
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QMTPUBEX: 0,1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_message_that_was_answered_shows_that_something_passes() {
        assert_eq!(of("+QMTPUBEX", "0,1,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+QMTPUB", "0,1,2"), [Fact::Traffic(false)]);
        assert_eq!(of("+QMTSUB", "0,1,0,1"), [Fact::Traffic(true)]);
        assert!(of("+QMTPUB", "0,1,1,3").is_empty());
    }
}
