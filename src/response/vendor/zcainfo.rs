//! `+ZCAINFO`: carriers in use, the primary first, parted by semicolons.
//!
//! ```text
//! <PCI>,<band>,<?>,<EARFCN>,<MHz>;<PCI>,<?>,<band>,<EARFCN>,<MHz>
//! ```
//!
//! Read off one response; a row counts only where its channel lies in its band.

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{BodyLine, Column, plain, whole};
use crate::response::{Family, Read, Response, bands, fields};
use Column::Figure;

pub(super) static FAMILY: Family = family(
    &["+ZCAINFO"],
    "+ZCAINFO?",
    "carriers in use with band, channel and width",
    &[Quantity::Pci, Quantity::Band, Quantity::Earfcn, Quantity::BandwidthMhz],
    read,
);

const BAND: Column = plain(Quantity::Band);
const PRIMARY: &[Column] =
    &[plain(Quantity::Pci), BAND, Figure, plain(Quantity::Earfcn), plain(Quantity::BandwidthMhz)];
const SECONDARY: &[Column] =
    &[plain(Quantity::Pci), Figure, BAND, plain(Quantity::Earfcn), plain(Quantity::BandwidthMhz)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut at = reply.body_at;
        let last = reply.body.matches(';').count();
        for (n, text) in reply.body.split(';').enumerate() {
            let line = BodyLine { text, at, open: reply.open && n == last };
            at += text.len() + 1;
            let (cell, form, number) =
                if n == 0 { (Cell::Serving, PRIMARY, 1) } else { (Cell::Secondary, SECONDARY, 2) };
            let row = fields(line.text, line.at);
            let band = row.get(number).and_then(|f| f.small());
            let channel = row.get(3).and_then(|f| f.text.parse().ok());
            let fits = band
                .zip(channel)
                .is_some_and(|(b, c)| bands::holds_channel(u16::from(b), c) == Some(true));
            if !fits {
                return Err(reply.no_form(5 * n + 3));
            }
            w.turn_to(cell);
            w.line(line, form)?;
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+ZCAINFO: 299,7,17758,2850,10;341,1,3,1802,20"];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn carriers_count_where_channel_and_band_fit() {
        let found = of("+ZCAINFO", "299,7,17758,2850,10;341,1,3,1802,20");
        assert_eq!(numbers(&found, Quantity::Band), [7.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [10.0]);
        assert!(says(&found, &Fact::number(Quantity::Band, 3.0, Cell::Secondary)));
        assert!(of("+ZCAINFO", "299,7,17758,6300,10").is_empty());
    }
}
