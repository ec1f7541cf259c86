//! `+ZCAINFO`: carriers in use, the primary first, parted by semicolons.
//!
//! ```text
//! <PCI>,<band>,<?>,<EARFCN>,<MHz>;<PCI>,<?>,<band>,<EARFCN>,<MHz>
//! ```
//!
//! Read off one reply; a row counts only where its channel lies in its band.

use crate::case::{Cell, Facts, Quantity};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response, fields};

pub(super) static FAMILY: Family = Family {
    heads: &["+ZCAINFO"],
    request: "+ZCAINFO?",
    source: "maker's command",
    about: "carriers in use with band, channel and width",
    yields: &[Quantity::Pci, Quantity::Band, Quantity::Earfcn, Quantity::BandwidthMhz],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let mut at = reply.body_at;
    for (n, part) in reply.body.split(';').enumerate() {
        let row = fields(part, at);
        at += part.len() + 1;
        let [pci, second, third, channel, width, ..] = row.as_slice() else { continue };
        let (cell, number) =
            if n == 0 { (Cell::Serving, second) } else { (Cell::Secondary, third) };
        let (Some(band), Some(earfcn)) = (number.small(), channel.int()) else { continue };
        let fits = u32::try_from(earfcn)
            .is_ok_and(|earfcn| bands::holds_channel(u16::from(band), earfcn) == Some(true));
        if !fits {
            continue;
        }
        pen.turn_to(cell);
        pen.plain(Quantity::Pci, Some(pci));
        pen.value(Quantity::Band, f64::from(band), number.span);
        pen.plain(Quantity::Earfcn, Some(channel));
        pen.plain(Quantity::BandwidthMhz, Some(width));
    }
    pen.done()
}

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
