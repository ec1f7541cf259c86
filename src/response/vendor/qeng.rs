//! `+QENG`: the serving cell and its neighbours, one cell a line.
//!
//! ```text
//! "servingcell",<state>[,<technology>,<row>]
//! "LTE",<row>            "NR5G-NSA",<row>        the two legs of dual connectivity
//! "neighbourcell[ intra| inter]",<technology>,<row>
//! ```
//!
//! The keyword and the technology choose the form; the number of fields chooses among those of one technology.

use super::family;
use crate::case::Facts;
use crate::case::{Cell, Quantity, Rat};
use crate::response::columns::{
    AREA, CELL, Column, MCC, MNC, NR_WIDTH, SPACING, UPLINK_WIDTH, WIDTH, plain, tenths, whole,
};
use crate::response::fact_writer::{FactWriter, Taken, number};
use crate::response::grammar::FieldError;
use crate::response::names::{note_service, note_technology, technology};
use crate::response::{Family, Field, Read, Response};
use Column::{Figure, Optional, Own, Rest, Text, Word};

pub(super) static FAMILY: Family = family(
    &["+QENG"],
    "+QENG=\"servingcell\"",
    "serving and neighbour cells with their levels",
    &[
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
);

const KEY: Column = Text;
const STATE: Column = Own(note_service);
const TECHNOLOGY: Column = Own(note_technology);
const DUPLEX: Column = Word(&["FDD", "TDD"]);
const RAW_SINR: Column = Own(raw_sinr);
const POWER: Column = tenths(Quantity::TxPower);
const CQI: Column = plain(Quantity::Cqi);
const SRXLEV: Column = plain(Quantity::Srxlev);

/// The columns of E-UTRA from the technology to SINR.
macro_rules! eutra {
    ($($before:expr,)* ; $($behind:expr),*) => {
        &[
            $($before,)* TECHNOLOGY, DUPLEX, MCC, MNC, CELL, plain(Quantity::Pci), plain(Quantity::Earfcn),
            plain(Quantity::Band), UPLINK_WIDTH, WIDTH, AREA, plain(Quantity::Rsrp), plain(Quantity::Rsrq),
            plain(Quantity::Rssi), RAW_SINR, $($behind),*
        ]
    };
}

/// With `<srxlev>` at the end; with channel quality and power (the comma before a closing dash gets lost on some
/// firmware); with all three.
const EUTRA: [&[Column]; 3] = [
    eutra!(KEY, STATE,; SRXLEV),
    eutra!(KEY, STATE,; CQI, POWER),
    eutra!(KEY, STATE,; CQI, POWER, SRXLEV),
];
/// The same as the LTE leg of dual connectivity.
const LTE_LEG: [&[Column]; 3] =
    [eutra!(; SRXLEV), eutra!(; CQI, POWER), eutra!(; CQI, POWER, SRXLEV)];
const EUTRA_CUT: &[Column] = eutra!(KEY, STATE,; Figure, Rest);
const LTE_LEG_CUT: &[Column] = eutra!(; Figure, Rest);

const NR_LEG: &[Column] = &[
    KEY,
    Optional,
    MCC,
    MNC,
    plain(Quantity::Pci),
    plain(Quantity::Rsrp),
    plain(Quantity::Sinr),
    plain(Quantity::Rsrq),
    plain(Quantity::NrArfcn),
    plain(Quantity::Band),
    NR_WIDTH,
    SPACING,
];

macro_rules! standalone {
    ($width:expr, $($behind:expr),*) => {
        &[
            KEY, STATE, TECHNOLOGY, DUPLEX, MCC, MNC, CELL, plain(Quantity::Pci), AREA, plain(Quantity::NrArfcn),
            plain(Quantity::Band), $width, plain(Quantity::Rsrp), plain(Quantity::Rsrq), plain(Quantity::Sinr),
            $($behind),*
        ]
    };
}
/// The width as an index, and the spacing behind SINR.
const STANDALONE: &[Column] = standalone!(NR_WIDTH, SPACING, SRXLEV);
/// Another chipset's: the width in MHz, and the power behind SINR.
const STANDALONE_MHZ: &[Column] =
    standalone!(plain(Quantity::BandwidthMhz), plain(Quantity::TxPower), SRXLEV, SPACING);

const UTRA: &[Column] = &[
    KEY,
    STATE,
    TECHNOLOGY,
    MCC,
    MNC,
    AREA,
    CELL,
    plain(Quantity::Uarfcn),
    plain(Quantity::Psc),
    Figure,
    plain(Quantity::Rscp),
    plain(Quantity::EcNo),
    Rest,
];
const GSM: &[Column] = &[
    KEY,
    STATE,
    TECHNOLOGY,
    MCC,
    MNC,
    AREA,
    CELL,
    plain(Quantity::Bsic),
    plain(Quantity::Arfcn),
    Text,
    plain(Quantity::Rxlev),
    Figure,
    Rest,
];

/// Here RSRQ stands before RSRP, the reverse of the serving line.
const EUTRA_NEIGHBOUR: &[Column] = &[
    KEY,
    Text,
    plain(Quantity::Earfcn),
    plain(Quantity::Pci),
    plain(Quantity::Rsrq),
    plain(Quantity::Rsrp),
    plain(Quantity::Rssi),
    RAW_SINR,
    SRXLEV,
    Figure,
    Rest,
];
const UTRA_NEIGHBOUR: &[Column] = &[
    KEY,
    Text,
    plain(Quantity::Uarfcn),
    Figure,
    Figure,
    Figure,
    plain(Quantity::Psc),
    plain(Quantity::Rscp),
    plain(Quantity::EcNo),
    Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let form = form(reply, w)?;
        w.row(reply, form)
    })
}

/// The form that keyword, technology and number of fields choose, and the cell that it is about.
fn form(reply: &Response<'_>, w: &mut FactWriter<'_>) -> Result<&'static [Column], FieldError> {
    let fields = reply.fields().len();
    let key = reply.text(0).to_ascii_lowercase();
    match key.as_str() {
        "servingcell" if fields == 2 => Ok(&[KEY, STATE]),
        "servingcell" => match (technology(reply.text(2)), fields) {
            // A text that ends here may have lost the last fields, which stand in another order then.
            (Some(Rat::Lte | Rat::LteM | Rat::NbIot), 18..=20) if reply.open => Ok(EUTRA_CUT),
            (Some(Rat::Lte | Rat::LteM | Rat::NbIot), 18..=20) => Ok(EUTRA[fields - 18]),
            (Some(Rat::Nr), 17) => Ok(STANDALONE),
            (Some(Rat::Nr), 18) => Ok(STANDALONE_MHZ),
            (Some(Rat::Utra), _) => Ok(UTRA),
            (Some(Rat::Gsm), _) => Ok(GSM),
            _ => Err(reply.no_form(2)),
        },
        "neighbourcell" | "neighbourcell intra" | "neighbourcell inter" => {
            w.turn_to(Cell::Neighbour);
            match technology(reply.text(1)) {
                Some(Rat::Lte | Rat::LteM | Rat::NbIot) => Ok(EUTRA_NEIGHBOUR),
                Some(Rat::Utra) => Ok(UTRA_NEIGHBOUR),
                // Known, and nothing of them is kept.
                Some(Rat::Gsm | Rat::Nr) => Ok(&[KEY, Text, Rest]),
                None => Err(reply.no_form(1)),
            }
        }
        "nr5g-nsa" => {
            w.turn_to(Cell::Secondary);
            Ok(NR_LEG)
        }
        _ => match (technology(&key), fields) {
            (Some(Rat::Lte | Rat::LteM | Rat::NbIot), 16..=18) if reply.open => Ok(LTE_LEG_CUT),
            (Some(Rat::Lte | Rat::LteM | Rat::NbIot), 16..=18) => Ok(LTE_LEG[fields - 16]),
            _ => Err(reply.no_form(0)),
        },
    }
}

/// The three scales in use share 0..=30, so that a value there is no more than bounded.
fn raw_sinr(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match number(field.text) {
        Some(raw) if (0.0..=30.0).contains(&raw) => {
            let coarse = if raw <= 25.0 { 2.0 * raw - 20.0 } else { raw };
            let between = (raw / 5.0 - 20.0, raw.max(coarse));
            let why = "firmware prints this field in three scales that overlap here";
            w.uncertain(Quantity::Sinr, Some(between), why, field.span);
        }
        Some(raw) if raw > 30.0 && raw <= 250.0 => {
            w.value(Quantity::Sinr, raw / 5.0 - 20.0, field.span);
        }
        _ => return w.level(Quantity::Sinr, field, crate::response::scale::Scale::Plain),
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+QENG: "servingcell","NOCONN","LTE","FDD",001,01,801A2B3,20,3350,7,5,5,BC7,-86,-13,-52,15,-"#,
    r#"+QENG: "servingcell","LIMSRV","eMTC","FDD",999,01,A,1,3600,8,3,3,2,-80,-12,-53,85,47"#,
    r#"+QENG: "LTE","FDD",001,01,8445012,1,150,1,5,5,C7CA,-89,-13,-58,16,15,20,-"#,
    r#"+QENG: "NR5G-NSA",999,01,832,-76,21,-11,528030,41,8,1"#,
    r#"+QENG: "servingcell","NOCONN","NR5G-SA","FDD",001,01,101363211,24,2BA69D,126490,71,1,-104,-13,11,0,-"#,
    r#"+QENG: "servingcell","NOCONN","WCDMA",001,01,2A39,E1278,4385,84,254,-98,-7,-,-,-,-,-"#,
    r#"+QENG: "servingcell","NOCONN","GSM",001,01,2A39,E127,12,71,-,-68,255,255,0,38,38"#,
    r#"+QENG: "neighbourcell intra","LTE",6300,188,-12,-105,-75,-20,23,4,12,10,62"#,
    r#"+QENG: "servingcell","SEARCH""#,
];

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
