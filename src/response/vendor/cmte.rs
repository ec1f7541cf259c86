//! `+CMTE`: a level of temperature that comes by itself, or is read with degrees.
//!
//! ```text
//! <level>           0 well, ±1 near a limit, ±2 beyond it
//! <mode>,<degrees>           from memory
//! ```

use super::family;
use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CMTE"], "+CMTE?", "module temperature", &[Quantity::Temperature], read);

/// A level: near a limit nothing has happened yet.
pub(super) const LEVEL: Column = Column::Own(|w, f| {
    match f.text {
        "-2" | "2" => w.fact(Fact::Power(Power::Temperature), f.span),
        "-1" | "0" | "1" => {}
        _ => return Err("-2 to 2"),
    }
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.fields().len() {
        1 => w.row(reply, &[LEVEL]),
        _ => w.row(reply, &[Column::Word(&["0", "1"]), plain(Quantity::Temperature)]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CMTE: 2", "+CMTE: 1,96"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn a_level_by_itself_warns_beyond_the_limit_alone() {
        assert!(says(&of("+CMTE", "2"), &Fact::Power(Power::Temperature)));
        for near in ["0", "1", "-1"] {
            assert!(of("+CMTE", near).is_empty(), "{near}");
        }
        assert_eq!(numbers(&of("+CMTE", "1,96"), Quantity::Temperature), [96.0]);
    }
}
