//! `+EEMLTESVC`: the serving cell, where country and network code are the decimal form of
//! hexadecimal digits (1120 is 0x460, 460).
//!
//! ```text
//! MCC,<MNC digits>,MNC,TAC,PCI,<DL channel>,<UL channel>,<band>,<width index>,<cell>,[0,]
//! <RSRP index>,<RSRQ index>,<SINR>,<main RSRP>,<diversity RSRP>,…
//! ```
//!
//! The unit of SINR is not known, nor where among the last fields the refusal stands: neither is read.

use super::family;
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::columns::{AREA_DECIMAL, CELL_DECIMAL, Column, WIDTH, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, scale};
use Column::{Figure, Number, Own, Rest, Word};
use compact_str::format_compact;

pub(super) static FAMILY: Family = family(
    &["+EEMLTESVC"],
    "+EEMGINFO?",
    "serving cell, its levels and those of both antenna ports",
    &[
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
);

const MCC: Column = Own(|w, f| coded(w, Quantity::Mcc, f, 3));
const MNC: [Column; 2] =
    [Own(|w, f| coded(w, Quantity::Mnc, f, 2)), Own(|w, f| coded(w, Quantity::Mnc, f, 3))];
const RSRP: Column = Number(Quantity::Rsrp, scale::RSRP);
const RSRQ: Column = Number(Quantity::Rsrq, scale::RSRQ);
const PORTS: [Column; 2] = [Own(|w, f| port(w, 0, f)), Own(|w, f| port(w, 1, f))];

macro_rules! form {
    ($mnc:expr, $($extra:expr)?) => {
        &[
            MCC, Word(&["2", "3"]), $mnc, AREA_DECIMAL, plain(Quantity::Pci), plain(Quantity::Earfcn), Figure,
            plain(Quantity::Band), WIDTH, CELL_DECIMAL, $($extra,)? RSRP, RSRQ, Figure, PORTS[0], PORTS[1], Figure, Rest,
        ]
    };
}
/// By the digits of the network code and by a field that some firmware has more than its list says; it holds 0.
const FORMS: [[&[Column]; 2]; 2] =
    [[form!(MNC[0],), form!(MNC[0], Word(&["0"]))], [form!(MNC[1],), form!(MNC[1], Word(&["0"]))]];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let (digits, extra) = (reply.text(1) == "3", reply.text(10) == "0");
        w.row(reply, FORMS[usize::from(digits)][usize::from(extra)])
    })
}

/// A code whose hexadecimal digits are the decimal digits meant.
fn coded(w: &mut FactWriter<'_>, quantity: Quantity, field: &Field<'_>, width: usize) -> Taken {
    let code = field.int().filter(|n| (0..=0xFFF).contains(n)).ok_or("a network code")?;
    let digits = format_compact!("{code:0width$X}");
    if digits.len() == width && digits.bytes().all(|b| b.is_ascii_digit()) {
        w.fact(Fact::word(quantity, digits, Cell::Serving), field.span);
    }
    Ok(())
}

fn port(w: &mut FactWriter<'_>, port: u8, field: &Field<'_>) -> Taken {
    let index = field.int().ok_or("an index")?;
    if let Some(value) = u8::try_from(index).ok().and_then(|i| scale::RSRP.value(f64::from(i))) {
        w.port(port, Quantity::Rsrp, value, false, field.span);
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+EEMLTESVC: 2457, 2, 1, 11116, 38, 1825, 19825, 3, 4, 91564032, 0, 59, 19, 11, 59, 29, 24, 127, 73",
];

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
