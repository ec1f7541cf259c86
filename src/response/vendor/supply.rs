//! `^SBC`: the supply, where the modem warns of it by itself: `^SBC: Undervoltage`.

use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^SBC"],
    request: "^SBC?",
    source: "maker's command",
    about: "warnings of the supply voltage",
    yields: &[Quantity::SupplyMillivolt],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let warns = |word: &str| {
        reply.body.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word))
    };
    if warns("Undervoltage") {
        pen.fact(Fact::Power(Power::LowVoltage), reply.span);
    } else if warns("Overvoltage") {
        pen.fact(Fact::Power(Power::HighVoltage), reply.span);
    } else if let [_, _, millivolt] = reply.fields() {
        // A read gives status, capacity and millivolts (from memory).
        pen.plain(Quantity::SupplyMillivolt, Some(millivolt));
    }
    pen.done()
}

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
