//! `+QENG`: the serving cell and its neighbours, one cell a line.
//!
//! ```text
//! "servingcell",<state>[,<technology>,<row>]
//! "LTE",<row>            "NR5G-NSA",<row>        the two legs of dual connectivity
//! "neighbourcell[ intra| inter]",<technology>,<row>
//! ```

use crate::case::{Cell, Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::{FactWriter, channel_quantity, number};
use crate::response::names;
use crate::response::scale::Scale;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QENG"],
    request: "+QENG=\"servingcell\"",
    source: "maker's command",
    about: "serving and neighbour cells with their levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
        Quantity::Pci,
        Quantity::Psc,
        Quantity::Bsic,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::BandwidthMhz,
        Quantity::UplinkBandwidthMhz,
        Quantity::SubcarrierKhz,
        Quantity::TxPower,
        Quantity::Cqi,
        Quantity::Srxlev,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let what = fields[0].text.to_ascii_lowercase();
    if what == "servingcell" {
        let Some(state) = fields.get(1) else { return Read::UnknownForm };
        if let Some(service) = names::service(state.text) {
            pen.fact(Fact::Service(service), state.span);
        }
        if let Some(technology) = fields.get(2) {
            serving(&mut pen, technology, &fields[3..]);
        }
    } else if what.starts_with("neighbourcell") {
        pen.turn_to(Cell::Neighbour);
        if let Some(technology) = fields.get(1) {
            neighbour(&mut pen, names::technology(technology.text), &fields[2..]);
        }
    } else {
        serving(&mut pen, &fields[0], &fields[1..]);
    }
    pen.done()
}

fn serving(pen: &mut FactWriter<'_>, technology: &Field<'_>, row: &[Field<'_>]) {
    let Some(rat) = names::technology(technology.text) else { return };
    if technology.text.to_ascii_uppercase().ends_with("NSA") {
        pen.turn_to(Cell::Secondary);
        return second_leg(pen, row);
    }
    pen.fact(Fact::Technology(rat), technology.span);
    match rat {
        Rat::Lte | Rat::LteM | Rat::NbIot => eutra(pen, row),
        Rat::Nr => standalone(pen, row),
        Rat::Utra => utra(pen, row),
        Rat::Gsm => gsm(pen, row),
    }
}

/// `<duplex>,MCC,MNC,cell,PCI,EARFCN,band,UL,DL,TAC,RSRP,RSRQ,RSSI,SINR[,…]`
fn eutra(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    pen.network(row.get(1), row.get(2));
    pen.cell_hex(row.get(3));
    pen.plain(Quantity::Pci, row.get(4));
    pen.plain(Quantity::Earfcn, row.get(5));
    pen.plain(Quantity::Band, row.get(6));
    pen.lte_width(Quantity::UplinkBandwidthMhz, row.get(7));
    pen.lte_width(Quantity::BandwidthMhz, row.get(8));
    pen.area_hex(row.get(9));
    pen.plain(Quantity::Rsrp, row.get(10));
    pen.plain(Quantity::Rsrq, row.get(11));
    pen.plain(Quantity::Rssi, row.get(12));
    sinr(pen, row.get(13));
    match row.get(14..).unwrap_or_default() {
        [srxlev] => pen.plain(Quantity::Srxlev, Some(srxlev)),
        [cqi, power, srxlev] => {
            pen.plain(Quantity::Cqi, Some(cqi));
            pen.level(Quantity::TxPower, Some(power), Scale::Parts(10.0));
            pen.plain(Quantity::Srxlev, Some(srxlev));
        }
        // The comma before a closing dash gets lost on some firmware.
        [cqi, power] if power.text.len() > 1 && power.text.ends_with('-') => {
            pen.plain(Quantity::Cqi, Some(cqi));
            pen.level(Quantity::TxPower, Some(power), Scale::Parts(10.0));
        }
        _ => {}
    }
}

/// The three scales in use share 0..=30, so that a value there is no more than bounded.
fn sinr(pen: &mut FactWriter<'_>, field: Option<&Field<'_>>) {
    let Some(found) = field else { return };
    match number(found.text) {
        Some(raw) if (0.0..=30.0).contains(&raw) => {
            let coarse = if raw <= 25.0 { 2.0 * raw - 20.0 } else { raw };
            let between = (raw / 5.0 - 20.0, raw.max(coarse));
            let why = "firmware prints this field in three scales that overlap here";
            pen.doubt(Quantity::Sinr, Some(between), why, found.span);
        }
        Some(raw) if raw > 30.0 && raw <= 250.0 => {
            pen.value(Quantity::Sinr, raw / 5.0 - 20.0, found.span);
        }
        _ => pen.plain(Quantity::Sinr, field),
    }
}

/// `MCC,MNC,PCI,RSRP,SINR,RSRQ,ARFCN,band[,width,spacing]`
fn second_leg(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    pen.network(row.first(), row.get(1));
    pen.plain(Quantity::Pci, row.get(2));
    pen.plain(Quantity::Rsrp, row.get(3));
    pen.plain(Quantity::Sinr, row.get(4));
    pen.plain(Quantity::Rsrq, row.get(5));
    pen.plain(Quantity::NrArfcn, row.get(6));
    pen.plain(Quantity::Band, row.get(7));
    pen.nr_width(row.get(8));
    pen.spacing(row.get(9));
}

/// `<duplex>,MCC,MNC,cell,PCI,TAC,ARFCN,band,width,RSRP,RSRQ,SINR,…`
fn standalone(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    pen.network(row.get(1), row.get(2));
    pen.cell_hex(row.get(3));
    pen.plain(Quantity::Pci, row.get(4));
    pen.area_hex(row.get(5));
    pen.plain(Quantity::NrArfcn, row.get(6));
    pen.plain(Quantity::Band, row.get(7));
    let width = row.get(8);
    let in_mhz = row.len() > 14 || width.and_then(|f| f.int()).is_some_and(|n| n > 16);
    if in_mhz {
        pen.plain(Quantity::BandwidthMhz, width);
    } else {
        pen.nr_width(width);
    }
    pen.plain(Quantity::Rsrp, row.get(9));
    pen.plain(Quantity::Rsrq, row.get(10));
    pen.plain(Quantity::Sinr, row.get(11));
    match row.get(12..).unwrap_or_default() {
        [spacing, srxlev] if !in_mhz => {
            pen.spacing(Some(spacing));
            pen.plain(Quantity::Srxlev, Some(srxlev));
        }
        [power, srxlev, spacing] => {
            pen.plain(Quantity::TxPower, Some(power));
            pen.plain(Quantity::Srxlev, Some(srxlev));
            pen.spacing(Some(spacing));
        }
        _ => {}
    }
}

/// `MCC,MNC,LAC,cell,UARFCN,PSC,RAC,RSCP,Ec/Io,…`
fn utra(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    pen.network(row.first(), row.get(1));
    pen.area_hex(row.get(2));
    pen.cell_hex(row.get(3));
    pen.plain(Quantity::Uarfcn, row.get(4));
    pen.plain(Quantity::Psc, row.get(5));
    pen.plain(Quantity::Rscp, row.get(7));
    pen.plain(Quantity::EcNo, row.get(8));
}

/// `MCC,MNC,LAC,cell,BSIC,ARFCN,band,rxlev,…`
fn gsm(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    pen.network(row.first(), row.get(1));
    pen.area_hex(row.get(2));
    pen.cell_hex(row.get(3));
    pen.plain(Quantity::Bsic, row.get(4));
    pen.plain(Quantity::Arfcn, row.get(5));
    pen.plain(Quantity::Rxlev, row.get(7));
}

/// Here RSRQ stands before RSRP, the reverse of the serving line.
fn neighbour(pen: &mut FactWriter<'_>, rat: Option<Rat>, row: &[Field<'_>]) {
    match rat {
        Some(rat @ (Rat::Lte | Rat::LteM | Rat::NbIot)) => {
            pen.plain(channel_quantity(rat), row.first());
            pen.plain(Quantity::Pci, row.get(1));
            pen.plain(Quantity::Rsrq, row.get(2));
            pen.plain(Quantity::Rsrp, row.get(3));
            pen.plain(Quantity::Rssi, row.get(4));
            sinr(pen, row.get(5));
            pen.plain(Quantity::Srxlev, row.get(6));
        }
        Some(Rat::Utra) => {
            pen.plain(Quantity::Uarfcn, row.first());
            pen.plain(Quantity::Psc, row.get(4));
            pen.plain(Quantity::Rscp, row.get(5));
            pen.plain(Quantity::EcNo, row.get(6));
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Rat, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn a_serving_line_gives_its_cell_and_its_levels() {
        let found = of(
            "+QENG",
            "\"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,801A2B3,20,3350,7,5,5,BC7,-86,-13,-52,15,-",
        );
        assert!(says(&found, &Fact::Service(Service::Normal)));
        assert!(says(&found, &Fact::Technology(Rat::Lte)));
        assert!(says(&found, &Fact::word(Quantity::TacHex, "BC7".into(), Cell::Serving)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-86.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-13.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-52.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [20.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [] as [f64; 0], "three scales overlap at 15");
        assert!(says(&found, &Fact::no_value(Quantity::Srxlev, Cell::Serving)));
    }

    #[test]
    fn limited_service_and_searching_are_told_apart() {
        let found = of(
            "+QENG",
            "\"servingcell\",\"LIMSRV\",\"eMTC\",\"FDD\",999,01,A,1,3600,8,3,3,2,-80,-12,-53,85,47",
        );
        assert!(says(&found, &Fact::Service(Service::Limited)));
        assert!(says(&found, &Fact::Technology(Rat::LteM)));
        assert_eq!(numbers(&found, Quantity::Sinr), [-3.0]);
        assert!(says(
            &of("+QENG", "\"servingcell\",\"SEARCH\""),
            &Fact::Service(Service::Searching)
        ));
    }

    #[test]
    fn the_second_leg_has_sinr_before_rsrq() {
        let found = of("+QENG", "\"NR5G-NSA\",999,01,832,-76,21,-11,528030,41,8,1");
        assert!(says(&found, &Fact::number(Quantity::Sinr, 21.0, Cell::Secondary)));
        assert!(says(&found, &Fact::number(Quantity::Rsrq, -11.0, Cell::Secondary)));
        assert!(says(&found, &Fact::number(Quantity::BandwidthMhz, 60.0, Cell::Secondary)));
    }

    #[test]
    fn a_standalone_line_reads_its_width_by_its_length() {
        let short = of(
            "+QENG",
            "\"servingcell\",\"NOCONN\",\"NR5G-SA\",\"FDD\",001,01,101363211,24,2BA69D,126490,71,1,-104,-13,11,0,-",
        );
        assert_eq!(numbers(&short, Quantity::BandwidthMhz), [10.0]);
        let long = of(
            "+QENG",
            "\"servingcell\",\"NOCONN\",\"NR5G-SA\",\"TDD\",001,01,101363211,24,2BA69D,640704,78,10,-104,-13,11,20,30,1",
        );
        assert_eq!(numbers(&long, Quantity::BandwidthMhz), [10.0]);
        assert_eq!(numbers(&long, Quantity::SubcarrierKhz), [30.0]);
    }

    #[test]
    fn a_neighbour_has_rsrq_before_rsrp() {
        let found =
            of("+QENG", "\"neighbourcell intra\",\"LTE\",6300,188,-12,-105,-75,-20,23,4,12,10,62");
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -105.0, Cell::Neighbour)));
        assert!(says(&found, &Fact::number(Quantity::Rsrq, -12.0, Cell::Neighbour)));
    }

    #[test]
    fn older_technologies_keep_their_own_levels() {
        let utra = of(
            "+QENG",
            "\"servingcell\",\"NOCONN\",\"WCDMA\",001,01,2A39,E1278,4385,84,254,-98,-7,-,-,-,-,-",
        );
        assert_eq!(numbers(&utra, Quantity::Rscp), [-98.0]);
        assert_eq!(numbers(&utra, Quantity::EcNo), [-7.0]);
        let gsm = of(
            "+QENG",
            "\"servingcell\",\"NOCONN\",\"GSM\",001,01,2A39,E127,12,71,-,-68,255,255,0,38,38",
        );
        assert_eq!(numbers(&gsm, Quantity::Rxlev), [-68.0]);
        assert_eq!(numbers(&gsm, Quantity::Arfcn), [71.0]);
    }
}
