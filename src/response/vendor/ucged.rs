//! `+UCGED`: the serving cell over three lines; the cell's own line has a form with indices and one
//! with plain values, told apart by its sixth field.

use crate::case::{Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Read, Response, fields};

pub(super) static FAMILY: Family = Family {
    heads: &["+UCGED"],
    request: "+UCGED?",
    source: "maker's command",
    about: "serving cell and its levels, once its report is on",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::BandwidthMhz,
        Quantity::Arfcn,
        Quantity::Uarfcn,
        Quantity::Rxlev,
        Quantity::EcNo,
        Quantity::Rssi,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::NrArfcn,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let [network, cell, ..] = reply.tail else {
        pen.understood();
        return pen.done();
    };
    let first = fields(network.text, network.span.start);
    let rat = match first.first().and_then(|f| f.small()) {
        Some(2) => Rat::Gsm,
        Some(3) => Rat::Utra,
        Some(7) => Rat::NbIot,
        Some(4 | 6) => Rat::Lte,
        _ => return Read::UnknownForm,
    };
    pen.fact(Fact::Technology(rat), network.span);
    pen.network(first.get(2), first.get(3));
    let row = fields(cell.text, cell.span.start);
    let field = |n: usize| row.get(n);
    match rat {
        Rat::Lte | Rat::NbIot | Rat::LteM => {
            // The band was seen not to fit its channel; the channel tells it.
            pen.channel(rat, field(0));
            pen.resource_blocks(Quantity::BandwidthMhz, field(3));
            pen.area_hex(field(4));
            let indices = field(5).is_some_and(|f| f.text.len() >= 5);
            if indices {
                pen.cell_hex(field(5));
                pen.plain(Quantity::Pci, field(6));
                pen.level(Quantity::Rsrp, field(10), scale::RSRP);
                pen.level(Quantity::Rsrq, field(11), scale::RSRQ);
                if field(10).is_some_and(|f| f.small() != Some(255)) {
                    pen.plain(Quantity::Sinr, field(12));
                }
            } else {
                pen.plain(Quantity::Pci, field(5));
                pen.plain(Quantity::Rsrp, field(6));
                pen.plain(Quantity::Rsrq, field(7));
            }
        }
        Rat::Gsm => {
            pen.channel(rat, field(0).filter(|f| f.text != "65535"));
            pen.cell_hex(field(2));
            pen.area_hex(field(4));
            pen.level(Quantity::Rxlev, field(6), scale::RXLEV);
        }
        Rat::Utra => {
            pen.channel(rat, field(0));
            pen.area_hex(field(3));
            pen.plain(Quantity::Rssi, field(7));
            pen.plain(Quantity::EcNo, field(8));
        }
        Rat::Nr => {}
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn the_sixth_field_tells_the_form() {
        let a = of_block(
            "+UCGED",
            "2",
            &["6,4,001,01", "2525,5,50,50,db99,be3175e,1,1f07bfa8,8001,01,28,31,13.75,3,1,10,28"],
        );
        assert_eq!(numbers(&a, Quantity::Rsrp), [-113.0]);
        assert_eq!(numbers(&a, Quantity::Rsrq), [-4.5]);
        assert_eq!(numbers(&a, Quantity::Sinr), [13.75]);
        let b = of_block("+UCGED", "2", &["6,001,01", "5110,12,10,10,ef8e,162,-86,-14,131,-1,3"]);
        assert_eq!(numbers(&b, Quantity::Rsrp), [-86.0]);
        let none = of_block(
            "+UCGED",
            "2",
            &["6,2,fff,fff", "65535,255,255,255,ffff,0000000,65535,00000000,ffff,ff,255,255,255,1"],
        );
        assert!(
            numbers(&none, Quantity::Rsrp).is_empty()
                && numbers(&none, Quantity::CellId).is_empty()
        );
    }
}
