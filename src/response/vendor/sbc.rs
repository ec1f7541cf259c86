//! `^SBC`: the supply, where the modem warns of it by itself, and a read from memory.
//!
//! ```text
//! Undervoltage…          Overvoltage…
//! <status>,<capacity>,<millivolts>
//! ```

use super::family;
use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["^SBC"],
    "^SBC?",
    "supply voltage and warnings of it",
    &[Quantity::SupplyMillivolt],
    read,
);

const FORM: &[Column] = &[Column::Figure, Column::Figure, plain(Quantity::SupplyMillivolt)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let warns = |word: &str| {
            reply.body.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word))
        };
        if warns("Undervoltage") {
            w.fact(Fact::Power(Power::LowVoltage), reply.span);
            return Ok(());
        }
        if warns("Overvoltage") {
            w.fact(Fact::Power(Power::HighVoltage), reply.span);
            return Ok(());
        }
        w.row(reply, FORM)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SBC: Undervoltage Warning", "^SBC: 1,20,3921"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn a_warning_is_one_and_a_read_is_a_voltage() {
        let found = of("^SBC", "Undervoltage Warning");
        assert!(says(&found, &Fact::Power(Power::LowVoltage)));
        assert_eq!(numbers(&of("^SBC", "1,20,3921"), Quantity::SupplyMillivolt), [3921.0]);
    }
}
