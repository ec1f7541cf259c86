//! `+XMCI`, `+XCESQ`, `+XLEC`: cells in quoted hexadecimal, levels with RSRQ before RSRP, and the
//! carriers in use (`<n>,<carriers>,<width…>,BAND_LTE_<n>…`; that layout was seen once).

use crate::case::{Cell, Facts, Quantity};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::scale::{self, Scale};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+XMCI", "+XCESQ", "+XLEC"],
    request: "+XCESQ?",
    source: "maker's command",
    about: "serving and neighbour cells and their levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Band,
        Quantity::BandwidthMhz,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Rxlev,
        Quantity::Rscp,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
};

/// Halves of a decibel.
const HALVES: Scale = Scale::Parts(2.0);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let field = |n: usize| row.get(n);
    let known = |f: Option<&Field<'_>>| f.is_some_and(|f| f.int() != Some(255));
    if reply.is("+XCESQ") {
        if row.len() < 8 {
            return Read::UnknownForm;
        }
        pen.level(Quantity::Rxlev, field(1), scale::RXLEV);
        pen.level(Quantity::Rscp, field(3), scale::RSCP);
        pen.level(Quantity::Rsrq, field(5), scale::RSRQ);
        pen.level(Quantity::Rsrp, field(6), scale::RSRP);
        if known(field(7)) {
            pen.level(Quantity::Sinr, field(7), HALVES);
        }
        return pen.done();
    }
    if reply.is("+XLEC") {
        carriers(&mut pen, row);
        return pen.done();
    }
    match field(0).and_then(|f| f.small()) {
        Some(4) => {
            pen.network(field(1), field(2));
            pen.area_hex(field(3));
        }
        Some(5) => pen.turn_to(Cell::Neighbour),
        // GSM and UMTS rows: known, their columns are not.
        Some(0..=3) => {
            pen.understood();
            return pen.done();
        }
        _ => return Read::UnknownForm,
    }
    pen.cell_hex(field(4));
    pen.hex(Quantity::Pci, field(5));
    pen.hex(Quantity::Earfcn, field(6));
    pen.level(Quantity::Rsrp, field(9), scale::RSRP);
    pen.level(Quantity::Rsrq, field(10), scale::RSRQ);
    if known(field(11)) {
        pen.level(Quantity::Sinr, field(11), HALVES);
    }
    pen.done()
}

fn carriers(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    let bands = row.iter().filter_map(|f| Some((f, bands::named(f.text)?)));
    for (n, (field, number)) in bands.enumerate() {
        pen.turn_to(if n == 0 { Cell::Serving } else { Cell::Secondary });
        pen.value(Quantity::Band, f64::from(number), field.span);
        pen.lte_width(Quantity::BandwidthMhz, row.get(2 + n));
    }
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn quoted_numbers_are_hexadecimal_and_quality_stands_first() {
        let cell = of(
            "+XMCI",
            "4,001,01,\"0x1E3A\",\"0x09892643\",\"0x002E\",\"0x00000145\",\"0x00004795\",\"0xFFFFFFFF\",70,25,50,\"0x00000000\",\"0x00000000\"",
        );
        assert_eq!(numbers(&cell, Quantity::Pci), [46.0]);
        assert_eq!(numbers(&cell, Quantity::Earfcn), [325.0]);
        assert_eq!(numbers(&cell, Quantity::Rsrp), [-71.0]);
        assert_eq!(numbers(&cell, Quantity::Sinr), [25.0]);
        let levels = of("+XCESQ", "0,99,99,255,255,10,34,16");
        assert_eq!(numbers(&levels, Quantity::Rsrq), [-15.0]);
        assert_eq!(numbers(&levels, Quantity::Rsrp), [-107.0]);
        assert_eq!(numbers(&levels, Quantity::Sinr), [8.0]);
    }

    #[test]
    fn the_carriers_in_use_have_band_and_width() {
        let one = of("+XLEC", "0,1,4,BAND_LTE_1");
        assert_eq!(numbers(&one, Quantity::Band), [1.0]);
        assert_eq!(numbers(&one, Quantity::BandwidthMhz), [15.0]);
        let two = of("+XLEC", "0,2,5,3,BAND_LTE_3,BAND_LTE_20");
        assert_eq!(numbers(&two, Quantity::Band), [3.0]);
        assert_eq!(numbers(&two, Quantity::BandwidthMhz), [20.0]);
    }
}
