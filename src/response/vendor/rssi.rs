//! `^RSSI`: the index of `+CSQ` (TS 27.007 §8.5) as it comes by itself; common practice, no source.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^RSSI"], "^RSSI?", "signal strength index", &[Quantity::Rssi], read);

const FORM: &[Column] = &[INDEX];

/// The index of `+CSQ`.
pub(super) const INDEX: Column = Column::Own(|w, f| {
    let index: u8 = f.text.parse().map_err(|_| "an index")?;
    match index {
        // TS 27.007 §8.5: 0 is -113 dBm or less, each step 2 dB, 31 is -51 dBm or more.
        0..=31 => {
            w.value(Quantity::Rssi, f64::from(index) * 2.0 - 113.0, f.span);
        }
        99 => w.unknown(Quantity::Rssi, f.span),
        _ => return Err("an index"),
    }
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^RSSI: 17"];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn an_index_is_a_level_and_99_none() {
        // TS 27.007 §8.5: 2 is -109 dBm.
        assert_eq!(numbers(&of("^RSSI", "2"), Quantity::Rssi), [-109.0]);
        assert!(says(&of("^RSSI", "99"), &Fact::no_value(Quantity::Rssi, Cell::Serving)));
        assert!(of("^RSSI", "45").is_empty());
    }
}
