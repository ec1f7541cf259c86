//! `+QMTOPEN`, `+QMTCONN`: whether a server of MQTT was reached; comes by itself.
//!
//! ```text
//! +QMTOPEN: <id>,<0 | -1 no socket | 3 no session | 4 no name | 5 connection failed …>
//! +QMTCONN: <id>,<0 sent and answered | 1 sent again | 2 failed>[,<return code>]
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::RESULT;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QMTOPEN", "+QMTCONN"], "", "whether a server of MQTT was reached", &[], read);

const FORM: &[Column] = &[Column::Figure, RESULT, Column::Optional, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QMTOPEN: 0,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+QMTOPEN", "0,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+QMTOPEN", "0,5"), [Fact::Traffic(false)]);
        assert_eq!(of("+QMTCONN", "0,0,0"), [Fact::Traffic(true)]);
    }
}
