//! `+EEMLTESVC`: the serving cell, where country and network code are the decimal form of
//! hexadecimal digits (1120 is 0x460, 460).
//!
//! ```text
//! MCC,<MNC digits>,MNC,TAC,PCI,<DL channel>,<UL channel>,<band>,<width index>,<cell>,[0,]
//! <RSRP index>,<RSRQ index>,<SINR>,<main RSRP>,<diversity RSRP>,…
//! ```
//!
//! The unit of SINR is not known, nor where among the last fields the refusal stands: neither is read.

use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Field, Read, Response};
use compact_str::format_compact;

pub(super) static FAMILY: Family = Family {
    heads: &["+EEMLTESVC"],
    request: "+EEMGINFO?",
    source: "maker's command",
    about: "serving cell, its levels and those of both antenna ports",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Earfcn,
        Quantity::Band,
        Quantity::BandwidthMhz,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    if row.len() < 16 {
        return Read::UnknownForm;
    }
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let width = if row[1].small() == Some(3) { 3 } else { 2 };
    coded(&mut pen, Quantity::Mcc, &row[0], 3);
    coded(&mut pen, Quantity::Mnc, &row[2], width);
    pen.area_decimal(row.get(3));
    pen.plain(Quantity::Pci, row.get(4));
    pen.plain(Quantity::Earfcn, row.get(5));
    pen.plain(Quantity::Band, row.get(7));
    pen.lte_width(Quantity::BandwidthMhz, row.get(8));
    pen.cell_decimal(row.get(9));
    // Some firmware has one field more than its list says; it holds 0.
    let levels = if row[10].small() == Some(0) { 11 } else { 10 };
    pen.level(Quantity::Rsrp, row.get(levels), scale::RSRP);
    pen.level(Quantity::Rsrq, row.get(levels + 1), scale::RSRQ);
    for port in 0..2u8 {
        let Some(field) = row.get(levels + 3 + usize::from(port)) else { break };
        if let Some(index @ 1..=97) = field.small() {
            pen.port(port, Quantity::Rsrp, f64::from(index) - 141.0, false, field.span);
        }
    }
    pen.done()
}

/// A code whose hexadecimal digits are the decimal digits meant.
fn coded(pen: &mut FactWriter<'_>, quantity: Quantity, field: &Field<'_>, width: usize) {
    let Some(code) = field.int().filter(|n| (0..=0xFFF).contains(n)) else { return };
    let digits = format_compact!("{code:0width$X}");
    if digits.len() == width && digits.bytes().all(|b| b.is_ascii_digit()) {
        pen.fact(Fact::word(quantity, digits, Cell::Serving), field.span);
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn codes_are_hexadecimal_digits_and_ports_stand_behind_the_levels() {
        let found = of(
            "+EEMLTESVC",
            "2457, 2, 1, 11116, 38, 1825, 19825, 3, 4, 91564032, 0, 59, 19, 11, 59, 29, 24, 127, 73",
        );
        assert!(says(&found, &Fact::word(Quantity::Mcc, "999".into(), Cell::Serving)));
        assert!(says(&found, &Fact::word(Quantity::Mnc, "01".into(), Cell::Serving)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-82.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-10.5]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [15.0]);
        assert!(says(&found, &Fact::Port(1, Quantity::Rsrp, Some(-112.0))));
    }
}
