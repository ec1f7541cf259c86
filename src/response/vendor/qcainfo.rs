//! `+QCAINFO`: the carriers of an aggregation, one a line.
//!
//! ```text
//! "PCC"|"SCC",<channel>,<resource blocks>,"LTE BAND n",<state>,<PCI>,<RSRP>,<RSRQ>,<RSSI>,<RSSNR>[,…]
//! "PCC"|"SCC",<ARFCN>,<width>,"NR5G BAND n",<PCI>
//! "PCC"|"SCC",<ARFCN>,<width>,"NR5G BAND n",<state>,<PCI>,<UL>,<width>,<ARFCN>[,<RSRP>,<RSRQ>,<SNR>]
//! ```

use crate::case::{Cell, Facts, Quantity};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::scale::Scale;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QCAINFO"],
    request: "+QCAINFO",
    source: "maker's command",
    about: "carriers in use with their bands and levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Pci,
        Quantity::BandwidthMhz,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if fields.len() < 5 {
        return Read::UnknownForm;
    }
    let primary = fields[0].text.eq_ignore_ascii_case("PCC");
    if !primary {
        if !fields[0].text.eq_ignore_ascii_case("SCC") {
            return Read::UnknownForm;
        }
        pen.turn_to(Cell::Secondary);
    }
    let name = fields[3].text.to_ascii_uppercase();
    let Some(number) = bands::named(&name) else { return Read::UnknownForm };
    // State 0 of a long line: the carrier is not configured, its figures are old.
    if fields.len() > 5 && fields[4].small() == Some(0) {
        pen.understood();
        return pen.done();
    }
    pen.value(Quantity::Band, f64::from(number), fields[3].span);
    if name.starts_with("LTE") {
        pen.plain(Quantity::Earfcn, fields.get(1));
        pen.resource_blocks(Quantity::BandwidthMhz, fields.get(2));
        pen.plain(Quantity::Pci, fields.get(5));
        pen.plain(Quantity::Rsrp, fields.get(6));
        pen.plain(Quantity::Rsrq, fields.get(7));
        pen.plain(Quantity::Rssi, fields.get(8));
        pen.plain(Quantity::Sinr, fields.get(9));
    } else {
        pen.plain(Quantity::NrArfcn, fields.get(1));
        pen.nr_width(fields.get(2));
        pen.plain(Quantity::Pci, fields.get(if fields.len() == 5 { 4 } else { 5 }));
        if fields.len() == 12 {
            pen.plain(Quantity::Rsrp, fields.get(9));
            pen.plain(Quantity::Rsrq, fields.get(10));
            pen.level(Quantity::Sinr, fields.get(11), Scale::Parts(100.0));
        }
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_primary_carrier_is_the_serving_cell() {
        let found = of("+QCAINFO", "\"PCC\",150,100,\"LTE BAND 1\",1,1,-89,-10,-59,15");
        assert_eq!(numbers(&found, Quantity::Band), [1.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [20.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-59.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [15.0]);
    }

    #[test]
    fn a_second_carrier_is_a_secondary_cell_unless_it_is_not_configured() {
        let found = of("+QCAINFO", "\"scc\",6200,50,\"LTE BAND 20\",2,21,-88,-10,-59,13");
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -88.0, Cell::Secondary)));
        assert!(of("+QCAINFO", "\"scc\",6200,50,\"LTE BAND 20\",0,21,-88,-10,-59,13").is_empty());
    }

    #[test]
    fn nr_carriers_are_short_or_long() {
        let short = of("+QCAINFO", "\"PCC\",126490,1,\"NR5G BAND 71\",24");
        assert_eq!(numbers(&short, Quantity::Pci), [24.0]);
        assert_eq!(numbers(&short, Quantity::BandwidthMhz), [10.0]);
        let long = of("+QCAINFO", "\"SCC\",520110,12,\"NR5G BAND 41\",1,625,0,-,-");
        assert!(says(&long, &Fact::number(Quantity::Pci, 625.0, Cell::Secondary)));
    }
}
