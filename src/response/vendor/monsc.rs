//! `^MONSC`: the serving cell; the technology's name fixes the fields that follow.
//!
//! LTE: `MCC,MNC,EARFCN,cell hex,PCI hex,TAC hex,RSRP,RSRQ,RSSI`; NR: `MCC,MNC,ARFCN,spacing,cell
//! hex,PCI hex,TAC hex,RSRP,RSRQ,SINR`; UMTS (from memory): `MCC,MNC,UARFCN,PSC,cell,LAC,RSCP,
//! level,Ec/No`.

use crate::case::{Fact, Facts, Quantity, Rat, Service};
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^MONSC"],
    request: "^MONSC",
    source: "maker's command",
    about: "serving cell and its levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Uarfcn,
        Quantity::Arfcn,
        Quantity::Rscp,
        Quantity::SubcarrierKhz,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if fields[0].text.eq_ignore_ascii_case("NONE") {
        pen.fact(Fact::Service(Service::None), fields[0].span);
        return pen.done();
    }
    let Some(rat) = names::technology(fields[0].text) else { return Read::UnknownForm };
    pen.fact(Fact::Technology(rat), fields[0].span);
    pen.network(fields.get(1), fields.get(2));
    pen.channel(rat, fields.get(3));
    let field = |n: usize| fields.get(n);
    match rat {
        Rat::Lte | Rat::LteM | Rat::NbIot => {
            pen.cell_hex(field(4));
            pen.hex(Quantity::Pci, field(5));
            pen.area_hex(field(6));
            pen.plain(Quantity::Rsrp, field(7));
            pen.plain(Quantity::Rsrq, field(8));
            pen.plain(Quantity::Rssi, field(9));
        }
        Rat::Nr => {
            pen.spacing(field(4));
            pen.cell_hex(field(5));
            pen.hex(Quantity::Pci, field(6));
            pen.area_hex(field(7));
            pen.plain(Quantity::Rsrp, field(8));
            pen.plain(Quantity::Rsrq, field(9));
            pen.plain(Quantity::Sinr, field(10));
        }
        Rat::Utra => {
            pen.cell_hex(field(5));
            pen.area_hex(field(6));
            pen.plain(Quantity::Rscp, field(7));
        }
        Rat::Gsm => {}
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_cells_number_is_hexadecimal_and_levels_are_plain() {
        let lte = of("^MONSC", "LTE,001,01,6300,149124F,142,874C,-96,-8,-67");
        assert_eq!(numbers(&lte, Quantity::Pci), [322.0]);
        assert_eq!(numbers(&lte, Quantity::Rsrp), [-96.0]);
        assert_eq!(numbers(&lte, Quantity::Rssi), [-67.0]);
        let nr = of("^MONSC", "NR,001,01,524910,1,3F4D2D642,114,15BC22,-73,-9,24");
        assert_eq!(numbers(&nr, Quantity::Sinr), [24.0]);
        assert_eq!(numbers(&nr, Quantity::SubcarrierKhz), [30.0]);
    }
}
