//! `#RFSTS`, `#SERVINFO`: the serving cell in one line.
//!
//! ```text
//! #RFSTS: "<MCC MNC>",EARFCN,RSRP,RSSI,RSRQ,TAC,RAC,…,cell,"<IMSI>","<name>",SD,band[,T,T,SINR]
//! #RFSTS: "<MCC MNC>",ARFCN,RSSI,LAC,RAC,power,MM,RR,NOM,cell,"<IMSI>","<name>",SD,…
//! #SERVINFO: EARFCN,RSSI,"<name>","<PLMN>",cell,TAC,DRX,SD,RSRP
//! #SERVINFO: ARFCN,dBm,"<name>","<PLMN>",BSIC,LAC,TA,…
//! ```
//!
//! Fields before the quoted subscriber number get lost on some firmware, so that it is the anchor.
//! The UMTS forms are not verified and not read.

use crate::case::{Facts, Quantity, Rat};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["#RFSTS", "#SERVINFO"],
    request: "#RFSTS",
    source: "maker's command",
    about: "the serving cell with its levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Arfcn,
        Quantity::Bsic,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if reply.is("#RFSTS") {
        state(&mut pen, fields);
    } else {
        information(&mut pen, fields);
    }
    pen.done()
}

fn is_negative(field: Option<&Field<'_>>) -> bool {
    field.and_then(|f| number(f.text)).is_some_and(|n| n < 0.0)
}

fn state(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    let anchor = row.iter().skip(8).position(|f| f.quoted).map(|at| at + 8);
    if (2..5).all(|at| is_negative(row.get(at))) {
        // RSRP before RSSI: the total cannot be the smaller of the two.
        let order = row[2].int() <= row[3].int();
        pen.joined_network(row.first());
        pen.channel(Rat::Lte, row.get(1));
        if order {
            pen.plain(Quantity::Rsrp, row.get(2));
            pen.plain(Quantity::Rssi, row.get(3));
            pen.plain(Quantity::Rsrq, row.get(4));
        }
        pen.area_hex(row.get(5));
        if let Some(anchor) = anchor {
            pen.cell_hex(row.get(anchor - 1));
            pen.plain(Quantity::Band, row.get(anchor + 3));
            pen.plain(Quantity::Sinr, row.get(anchor + 6));
        }
    } else if is_negative(row.get(2)) && row.get(3).is_some_and(|f| f.text.len() == 4) {
        pen.joined_network(row.first());
        pen.channel(Rat::Gsm, row.get(1));
        pen.plain(Quantity::Rxlev, row.get(2));
        pen.area_hex(row.get(3));
        if let Some(anchor) = anchor {
            pen.cell_hex(row.get(anchor - 1));
        }
    }
}

fn information(pen: &mut FactWriter<'_>, row: &[Field<'_>]) {
    if !is_negative(row.get(1)) || row[0].int() == Some(65_535) {
        return;
    }
    let fourth = row.get(4).map_or(0, |f| f.text.len());
    if row.len() == 9 && fourth > 4 && is_negative(row.get(8)) {
        pen.channel(Rat::Lte, row.first());
        pen.plain(Quantity::Rssi, row.get(1));
        pen.joined_network(row.get(3));
        pen.cell_hex(row.get(4));
        pen.area_hex(row.get(5));
        pen.plain(Quantity::Rsrp, row.get(8));
    } else if row.len() >= 11 && (1..=2).contains(&fourth) {
        pen.channel(Rat::Gsm, row.first());
        pen.plain(Quantity::Rxlev, row.get(1));
        pen.joined_network(row.get(3));
        pen.plain(Quantity::Bsic, row.get(4));
        pen.area_hex(row.get(5));
    }
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn power_strength_and_quality_stand_in_this_order() {
        let found = of(
            "#RFSTS",
            "\"001 01\",6400,-100,-66,-18,1355,FF,0,128,10,1,252200,\"001010000000001\",\"EXAMPLE\",3,20,720,3240,-5",
        );
        assert_eq!(numbers(&found, Quantity::Rsrp), [-100.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-66.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-18.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [-5.0]);
        assert_eq!(numbers(&found, Quantity::Band), [20.0]);
        assert_eq!(numbers(&found, Quantity::CellId), [f64::from(0x25_2200)]);
    }

    #[test]
    fn a_missing_field_before_the_subscriber_number_shifts_nothing() {
        let found = of(
            "#RFSTS",
            "\"001 01\",6400,-100,-66,-18,1355,FF,128,10,1,252200,\"001010000000001\",\"EXAMPLE\",3,20",
        );
        assert_eq!(numbers(&found, Quantity::Band), [20.0]);
    }

    #[test]
    fn gsm_forms_have_one_level() {
        let found = of(
            "#RFSTS",
            "\"001 01\",1001,-80,009C,01,5,19,10,2,8855,\"001010000000001\",\"EX\",1,2",
        );
        assert_eq!(numbers(&found, Quantity::Rxlev), [-80.0]);
        assert_eq!(numbers(&found, Quantity::Band), [] as [f64; 0]);
        let found = of("#SERVINFO", "42,-93,\"EXAMPLE\",\"00101\",63,CF38,03,1,,\"II\",01,6");
        assert_eq!(numbers(&found, Quantity::Rxlev), [-93.0]);
    }

    #[test]
    fn service_information_of_lte_ends_in_the_power() {
        let found = of("#SERVINFO", "6400,-43,\"EXAMPLE\",\"00101\",00000DC,723C,32,3,-60");
        assert_eq!(numbers(&found, Quantity::Rssi), [-43.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-60.0]);
        assert!(of("#SERVINFO", "65535,-0,\"\",\"\",,,,,").is_empty());
    }
}
