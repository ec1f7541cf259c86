//! `^SMONI`: the serving cell, one form a generation.
//!
//! ```text
//! 4G,EARFCN,band,DL,UL,<duplex>,MCC,MNC,TAC,cell,PCI,<srxlev or power>,RSRP,RSRQ,<state>
//! 3G,UARFCN,PSC,Ec/No,RSCP,MCC,MNC,LAC,cell,…,<state>
//! 2G,ARFCN,dBm,MCC,MNC,LAC,cell,C1,C2,NCC,BCC,GPRS,<state>
//! ```

use crate::case::{Fact, Facts, Quantity, Rat, Service};
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^SMONI"],
    request: "^SMONI",
    source: "maker's command",
    about: "the serving cell and whether it gives service",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
        Quantity::Pci,
        Quantity::Psc,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::BandwidthMhz,
        Quantity::UplinkBandwidthMhz,
        Quantity::Srxlev,
        Quantity::TxPower,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let rat = match fields[0].text.to_ascii_uppercase().as_str() {
        "4G" => Rat::Lte,
        "3G" => Rat::Utra,
        "2G" => Rat::Gsm,
        _ => return Read::UnknownForm,
    };
    let state = fields.iter().skip(1).find_map(|f| Some((f, names::service(f.text)?)));
    if let Some((field, service)) = state {
        pen.fact(Fact::Service(service), field.span);
        if service == Service::Searching {
            return pen.done();
        }
    }
    if fields.len() < 9 {
        return pen.done();
    }
    pen.fact(Fact::Technology(rat), fields[0].span);
    match rat {
        Rat::Utra => {
            pen.plain(Quantity::Uarfcn, fields.get(1));
            pen.plain(Quantity::Psc, fields.get(2));
            pen.plain(Quantity::EcNo, fields.get(3));
            pen.plain(Quantity::Rscp, fields.get(4));
            pen.network(fields.get(5), fields.get(6));
            pen.area_hex(fields.get(7));
            pen.cell_hex(fields.get(8));
        }
        Rat::Gsm => {
            pen.plain(Quantity::Arfcn, fields.get(1));
            pen.plain(Quantity::Rxlev, fields.get(2));
            pen.network(fields.get(3), fields.get(4));
            pen.area_hex(fields.get(5));
            pen.cell_hex(fields.get(6));
        }
        _ => {
            pen.plain(Quantity::Earfcn, fields.get(1));
            pen.plain(Quantity::Band, fields.get(2));
            pen.plain(Quantity::BandwidthMhz, fields.get(3));
            pen.plain(Quantity::UplinkBandwidthMhz, fields.get(4));
            pen.network(fields.get(6), fields.get(7));
            pen.area_hex(fields.get(8));
            pen.cell_hex(fields.get(9));
            pen.plain(Quantity::Pci, fields.get(10));
            // While a connection stands, this place holds the transmit power.
            let connected = fields.last().is_some_and(|f| f.text.eq_ignore_ascii_case("CONN"));
            let eleventh = if connected { Quantity::TxPower } else { Quantity::Srxlev };
            pen.plain(eleventh, fields.get(11));
            pen.plain(Quantity::Rsrp, fields.get(12));
            pen.plain(Quantity::Rsrq, fields.get(13));
        }
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_same_levels_with_and_without_service() {
        let found = of("^SMONI", "4G,6300,20,10,10,FDD,001,01,620C,0295500,350,33,-94,-7,LIMSRV");
        assert!(says(&found, &Fact::Service(Service::Limited)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-94.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-7.0]);
        assert_eq!(numbers(&found, Quantity::Srxlev), [33.0]);
        assert_eq!(numbers(&found, Quantity::Band), [20.0]);
    }

    #[test]
    fn searching_tells_no_cell() {
        assert_eq!(of("^SMONI", "4G,SEARCH"), [Fact::Service(Service::Searching)]);
        assert_eq!(of("^SMONI", "3G,SEARCH,SEARCH"), [Fact::Service(Service::Searching)]);
    }

    #[test]
    fn older_generations_have_their_own_order() {
        let utra = of("^SMONI", "3G,4379,230,-9.0,-92,001,01,EB01,0993ED0,9,11,NOCONN");
        assert_eq!(numbers(&utra, Quantity::EcNo), [-9.0]);
        assert_eq!(numbers(&utra, Quantity::Rscp), [-92.0]);
        let gsm = of("^SMONI", "2G,71,-61,999,01,0449,1780,33,33,3,6,G,NOCONN");
        assert_eq!(numbers(&gsm, Quantity::Rxlev), [-61.0]);
    }
}
