//! `+CMQTTPUB`, `+CMQTTSUB`: whether a message reached the server of MQTT: `<client>,<0, or an error>`; from memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::RESULT;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+CMQTTPUB", "+CMQTTSUB"],
    "",
    "whether a message reached the server of MQTT",
    &[],
    read,
);

const FORM: &[Column] = &[Column::Figure, RESULT];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CMQTTPUB: 0,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn zero_is_success() {
        assert_eq!(of("+CMQTTPUB", "0,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+CMQTTSUB", "0,12"), [Fact::Traffic(false)]);
    }
}
