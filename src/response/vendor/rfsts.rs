//! `#RFSTS`: the serving cell in one line.
//!
//! ```text
//! "<MCC MNC>",EARFCN,RSRP,RSSI,RSRQ,TAC,RAC,…,cell,"<IMSI>","<name>",SD,band[,T,T,SINR]
//! "<MCC MNC>",ARFCN,RSSI,LAC,RAC,power,MM,RR,NOM,cell,"<IMSI>","<name>",SD,…
//! ```
//!
//! Fields before the quoted subscriber identity get lost on some firmware, so that it is the anchor.
//! The UMTS form is not verified and not read.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{AREA, CELL, Column, PLMN, plain, whole};
use crate::response::fact_writer::number;
use crate::response::{Family, Read, Response};
use Column::{Figure, Optional, Rest, Text};

pub(super) static FAMILY: Family = family(
    &["#RFSTS"],
    "#RFSTS",
    "the serving cell with its levels",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Arfcn,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let level = |n: usize| number(reply.text(n)).filter(|n| *n < 0.0);
        let quoted = row.iter().skip(8).position(|f| f.quoted).map(|at| at + 8);
        let Some(anchor) = quoted else { return Err(reply.no_form(8)) };
        // Fields between the area code and the cell, whose number differs.
        let between = |from: usize| vec![Text; anchor - 1 - from];
        let form = match (level(2), level(3), level(4)) {
            // RSRP before RSSI: the total cannot be the smaller of the two.
            (Some(rsrp), Some(rssi), Some(_)) if rsrp <= rssi => {
                let mut form = vec![
                    PLMN,
                    plain(Quantity::Earfcn),
                    plain(Quantity::Rsrp),
                    plain(Quantity::Rssi),
                    plain(Quantity::Rsrq),
                    AREA,
                ];
                form.extend(between(6));
                form.extend([CELL, Text, Text, Figure, plain(Quantity::Band)]);
                form.extend([Optional, Figure, Figure, plain(Quantity::Sinr)]);
                form
            }
            (Some(_), None, _) if reply.text(3).len() == 4 => {
                let mut form = vec![PLMN, plain(Quantity::Arfcn), plain(Quantity::Rxlev), AREA];
                form.extend(between(4));
                form.extend([CELL, Text, Text, Optional, Figure, Rest]);
                form
            }
            _ => return Err(reply.no_form(2)),
        };
        w.row(reply, &form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"#RFSTS: "001 01",6400,-100,-66,-18,1355,FF,0,128,10,1,252200,"001010000000001","EXAMPLE",3,20,720,3240,-5"#,
    r#"#RFSTS: "001 01",1001,-80,009C,01,5,19,10,2,8855,"001010000000001","EX",1,2"#,
];

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
    }
}
