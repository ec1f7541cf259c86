//! `+CENG`: engineering mode; each row a number and a quoted cell, number 0 the serving one.
//!
//! ```text
//! +CENG: <mode>,<neighbours>[,<cells>,<technology>]                   the prefix of the report
//! +CENG: <n>,"ARFCN,rxlev,rxqual,MCC,MNC,BSIC,cell,rla,txp,LAC,TA"    GSM; neighbours have seven fields
//! +CENG: <n>,"MCC,MNC,LAC,cell,BSIC,rxlev"                            GSM, the short form of another mode
//! +CENG: <n>,"EARFCN,PCI,RSRP,RSSI,RSRQ,SINR[,TAC,cell,MCC,MNC,power]"
//! ```

use super::family;
use crate::case::{Cell, Fact, Facts, Quantity, Rat};
use crate::response::columns::{
    AREA, AREA_DECIMAL, BodyLine, CELL, CELL_DECIMAL, Column, MCC, MNC, plain, whole,
};
use crate::response::{Family, Read, Response, scale};
use Column::{Figure, Number, Own};

pub(super) static FAMILY: Family = family(
    &["+CENG"],
    "+CENG?",
    "serving and neighbour cells, once its report is on",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Rxlev,
        Quantity::Earfcn,
        Quantity::Arfcn,
        Quantity::CellId,
        Quantity::TacHex,
        Quantity::Pci,
        Quantity::TimingAdvance,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const HEAD: &[Column] = &[Figure, Figure, Column::Optional, Figure, Column::Text];
const ROW: &[Column] = &[Figure, Column::Text];
const RXLEV: Column = Number(Quantity::Rxlev, scale::RXLEV);
const GSM: &[Column] = &[
    plain(Quantity::Arfcn),
    RXLEV,
    Figure,
    MCC,
    MNC,
    Figure,
    CELL,
    Figure,
    Figure,
    AREA,
    Own(|w, f| {
        if f.text == "255" {
            Ok(())
        } else {
            w.level(Quantity::TimingAdvance, f, scale::Scale::Plain)
        }
    }),
];
const SHORT: &[Column] = &[MCC, MNC, AREA, CELL, Figure, RXLEV];
macro_rules! eutra {
    ($($behind:expr),*) => {
        &[
            plain(Quantity::Earfcn), plain(Quantity::Pci), plain(Quantity::Rsrp), plain(Quantity::Rssi),
            plain(Quantity::Rsrq), plain(Quantity::Sinr), $($behind),*
        ]
    };
}
const EUTRA_NEIGHBOUR: &[Column] = eutra!();
const EUTRA: &[Column] = eutra!(AREA_DECIMAL, CELL_DECIMAL, MCC, MNC, Figure);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let Some(quoted) = reply.fields().get(1).filter(|f| f.quoted && f.text.contains(','))
        else {
            return w.row(reply, HEAD);
        };
        w.row(reply, ROW)?;
        let cells: Vec<&str> = quoted.text.split(',').collect();
        let negative = |n: usize| cells.get(n).is_some_and(|c| c.starts_with('-'));
        let serving = reply.text(0) == "0";
        w.turn_to(if serving { Cell::Serving } else { Cell::Neighbour });
        let (gsm, form) = match (cells.len(), negative(2)) {
            (11, true) => (false, EUTRA),
            (6, true) => (false, EUTRA_NEIGHBOUR),
            (11, false) if serving => (true, GSM),
            (6, false) if serving => (true, SHORT),
            // Neighbours of GSM: known, and nothing of them is kept.
            (6..=7, false) => return Ok(()),
            _ => return Err(reply.no_form(1)),
        };
        if gsm {
            w.fact(Fact::Technology(Rat::Gsm), quoted.span);
        }
        // The quotes show that the row is whole.
        w.line(BodyLine { text: quoted.text, at: quoted.span.start, open: false }, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+CENG: 0,"0154,28,00,001,01,12,000e,00,05,802e,255""#,
    r#"+CENG: 0,"001,01,8524,307c,27,31""#,
    r#"+CENG: 0,"6300,12,-95,-67,-11,8,2577,238257,001,01,12""#,
    "+CENG: 3,1",
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn a_gsm_row_and_an_lte_row() {
        let gsm = of("+CENG", "0,\"0154,28,00,001,01,12,000e,00,05,802e,255\"");
        assert_eq!(numbers(&gsm, Quantity::Rxlev), [-83.0]);
        assert!(numbers(&gsm, Quantity::TimingAdvance).is_empty());
        let short = of("+CENG", "0,\"001,01,8524,307c,27,31\"");
        assert_eq!(numbers(&short, Quantity::Rxlev), [-80.0]);
        assert_eq!(numbers(&short, Quantity::CellId), [12_412.0]);
        let lte = of("+CENG", "0,\"6300,12,-95,-67,-11,8,2577,238257,001,01,12\"");
        assert_eq!(numbers(&lte, Quantity::Rsrp), [-95.0]);
        assert_eq!(numbers(&lte, Quantity::CellId), [238_257.0]);
    }
}
