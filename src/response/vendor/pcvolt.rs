//! `!PCVOLT`: the supply voltage, by labels; from memory.
//!
//! ```text
//! Volt state: Normal
//! Power supply voltage: 3306 mV
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{plain, whole};
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["!PCVOLT"], "!PCVOLT?", "supply voltage", &[Quantity::SupplyMillivolt], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines() {
            let Some((label, value)) = line.text.split_once(':') else { continue };
            let start = line.at + line.text.len() - value.trim_start().len();
            let span = Span::new(start, start + value.trim().len());
            let field = Field { text: value.trim(), quoted: false, span };
            if ["Power supply voltage", "Voltage"]
                .iter()
                .any(|l| l.eq_ignore_ascii_case(label.trim()))
            {
                w.labelled(plain(Quantity::SupplyMillivolt), &field, line.open);
            }
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["!PCVOLT:\nVolt state: Normal\nPower supply voltage: 3306 mV"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn the_voltage_has_its_label() {
        let found =
            of_block("!PCVOLT", "", &["Volt state: Normal", "Power supply voltage: 3306 mV"]);
        assert_eq!(numbers(&found, Quantity::SupplyMillivolt), [3306.0]);
    }
}
