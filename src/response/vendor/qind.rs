//! `+QIND`: marks that come by themselves.
//!
//! ```text
//! "csq",<index>,<ber>          "act","<technology>"          SMS DONE          PB DONE
//! ```

use super::family;
use super::rssi::INDEX;
use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::names::technology;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QIND"],
    "",
    "signal strength, technology, and marks of a start",
    &[Quantity::Rssi],
    read,
);

const STRENGTH: &[Column] = &[Column::Text, INDEX, Column::Figure];
const TECHNOLOGY: &[Column] = &[
    Column::Text,
    Column::Own(|w, f| {
        // Without a network the word is none of a technology.
        match technology(f.text) {
            Some(rat) => w.fact(Fact::Technology(rat), f.span),
            None if f.quoted => {}
            None => return Err("a technology in quotes"),
        }
        Ok(())
    }),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.text(0).to_ascii_lowercase().as_str() {
        "csq" => w.row(reply, STRENGTH),
        "act" => w.row(reply, TECHNOLOGY),
        // The card was read to the end, as it is after a start.
        "sms done" | "pb done" if reply.fields().len() == 1 => {
            w.fact(Fact::Power(Power::Starting), reply.span);
            Ok(())
        }
        _ if reply.fields()[0].quoted => Ok(()),
        _ => Err(reply.no_form(0)),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QIND: "csq",30,99"#, r#"+QIND: "act","LTE""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power, Quantity, Rat};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_word_chooses_the_form() {
        // TS 27.007 §8.5: 30 is -53 dBm.
        assert_eq!(numbers(&of("+QIND", "\"csq\",30,99"), Quantity::Rssi), [-53.0]);
        assert!(says(&of("+QIND", "PB DONE"), &Fact::Power(Power::Starting)));
        assert!(says(&of("+QIND", "\"act\",\"LTE\""), &Fact::Technology(Rat::Lte)));
    }
}
