//! `+QPINC`: attempts left for each code.
//!
//! ```text
//! "SC"|"P2",<PIN attempts>,<PUK attempts>
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QPINC"], "+QPINC?", "attempts left for each code", &[], read);

const ATTEMPTS: &str = "attempts, 0 to 10";
const PIN: &[Column] = &[
    Column::Text,
    Column::Own(|w, f| {
        w.fact(Fact::PinTries(attempts(f).ok_or(ATTEMPTS)?), f.span);
        Ok(())
    }),
    Column::Own(|w, f| {
        w.fact(Fact::PukTries(attempts(f).ok_or(ATTEMPTS)?), f.span);
        Ok(())
    }),
];
const SECOND: &[Column] = &[Column::Word(&["P2"]), Column::Figure, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| w.row(reply, if reply.text(0) == "SC" { PIN } else { SECOND }))
}

fn attempts(field: &Field<'_>) -> Option<u8> {
    field.text.parse().ok().filter(|n| *n <= 10)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QPINC: "SC",2,10"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn attempts_left_are_read() {
        assert_eq!(of("+QPINC", "\"SC\",2,10"), [Fact::PinTries(2), Fact::PukTries(10)]);
        assert_eq!(of("+QPINC", "\"P2\",3,10"), []);
    }
}
