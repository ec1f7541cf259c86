//! `+CENG`: engineering mode; each row a number and a quoted cell, number 0 the serving one.

use crate::case::{Cell, Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Read, Response, fields};

pub(super) static FAMILY: Family = Family {
    heads: &["+CENG"],
    request: "+CENG?",
    source: "maker's command",
    about: "serving and neighbour cells, once its report is on",
    yields: &[
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
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let outer = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let Some(quoted) = outer.get(1).filter(|f| f.quoted && f.text.contains(',')) else {
        // The head of the report: mode and settings.
        pen.understood();
        return pen.done();
    };
    let serving = outer[0].small() == Some(0);
    pen.turn_to(if serving { Cell::Serving } else { Cell::Neighbour });
    let row = fields(quoted.text, quoted.span.start);
    let field = |n: usize| row.get(n);
    let negative = |n: usize| field(n).and_then(|f| f.decimal()).is_some_and(|v| v < 0.0);
    if negative(2) && negative(3) {
        pen.plain(Quantity::Earfcn, field(0));
        pen.plain(Quantity::Pci, field(1));
        pen.plain(Quantity::Rsrp, field(2));
        pen.plain(Quantity::Rssi, field(3));
        pen.plain(Quantity::Rsrq, field(4));
        pen.plain(Quantity::Sinr, field(5));
        if serving {
            pen.area_decimal(field(6));
            pen.cell_decimal(field(7));
            pen.network(field(8), field(9));
        }
    } else if serving && row.len() >= 11 {
        pen.fact(Fact::Technology(Rat::Gsm), quoted.span);
        pen.plain(Quantity::Arfcn, field(0));
        pen.level(Quantity::Rxlev, field(1), scale::RXLEV);
        pen.network(field(3), field(4));
        pen.cell_hex(field(6));
        pen.area_hex(field(9));
        if field(10).is_some_and(|f| f.small() != Some(255)) {
            pen.plain(Quantity::TimingAdvance, field(10));
        }
    } else if serving && row.len() == 6 && row[0].text.len() == 3 {
        // The short form of another mode: network, area, cell, base station code, level.
        pen.fact(Fact::Technology(Rat::Gsm), quoted.span);
        pen.network(field(0), field(1));
        pen.area_hex(field(2));
        pen.cell_hex(field(3));
        pen.level(Quantity::Rxlev, field(5), scale::RXLEV);
    } else {
        // Neighbours of GSM: known, and nothing of them is kept.
        pen.understood();
    }
    pen.done()
}

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
