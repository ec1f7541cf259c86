//! `!PCTEMP`: the temperature, by labels; layout seen once.
//!
//! ```text
//! Temp state: Normal
//! Temperature: 39.00 C
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{plain, whole};
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["!PCTEMP"], "!PCTEMP?", "module temperature", &[Quantity::Temperature], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines() {
            let Some((label, value)) = line.text.split_once(':') else { continue };
            let start = line.at + line.text.len() - value.trim_start().len();
            let span = Span::new(start, start + value.trim().len());
            let field = Field { text: value.trim(), quoted: false, span };
            if label.trim().eq_ignore_ascii_case("Temperature") {
                w.labelled(plain(Quantity::Temperature), &field, line.open);
            }
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["!PCTEMP:\nTemp state: Normal\nTemperature: 39.00 C"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn the_temperature_has_its_label() {
        let found = of_block("!PCTEMP", "", &["Temp state: Normal", "Temperature: 39.00 C"]);
        assert_eq!(numbers(&found, Quantity::Temperature), [39.0]);
    }
}
