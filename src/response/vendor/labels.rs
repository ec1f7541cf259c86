//! Replies of `key:value` pairs in a row: `#MONI`, `+SQNMONI`; a network's name, which may hold
//! blanks, stands first.

use crate::case::{Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["#MONI", "+SQNMONI"],
    request: "#MONI",
    source: "maker's command",
    about: "serving cell and its levels, as labelled values",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Band,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::NrArfcn,
        Quantity::Arfcn,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let of_cells = reply.is("+SQNMONI");
    let mut network: Option<(&str, Span)> = None;
    for (key, field) in pairs(reply.body, reply.body_at) {
        // On one of them -1 everywhere stands for "not measured".
        let unknown = of_cells && field.text == "-1";
        let level = |pen: &mut FactWriter<'_>, quantity| {
            if unknown {
                pen.unknown(quantity, field.span);
            } else {
                pen.plain(quantity, Some(&field));
            }
        };
        match key.to_ascii_uppercase().as_str() {
            "RSRP" | "NR_RSRP" => level(&mut pen, Quantity::Rsrp),
            "RSRQ" | "NR_RSRQ" => level(&mut pen, Quantity::Rsrq),
            "CINR" | "NR_SINR" => level(&mut pen, Quantity::Sinr),
            "PWR" | "NR_PWR" => level(&mut pen, Quantity::Rssi),
            "EARFCN" => pen.channel(Rat::Lte, Some(&field)),
            "NR_CH" => pen.channel(Rat::Nr, Some(&field)),
            "ARFCN" => pen.channel(Rat::Gsm, Some(&field)),
            "BAND" | "NR_BAND" => pen.plain(Quantity::Band, Some(&field)),
            "PCI" | "NR_PCI" => pen.plain(Quantity::Pci, Some(&field)),
            "TAC" if of_cells => pen.area_decimal(Some(&field)),
            "TAC" | "LAC" => pen.area_hex(Some(&field)),
            "ID" if of_cells => pen.plain(Quantity::Pci, Some(&field)),
            "ID" => pen.cell_hex(Some(&field)),
            "CID" => pen.cell_hex(Some(&field)),
            "CC" => network = Some((field.text, field.span)),
            "NC" => {
                if let Some((mcc, at)) = network {
                    pen.network(Some(&Field { text: mcc, quoted: false, span: at }), Some(&field));
                }
            }
            _ => {}
        }
    }
    pen.done()
}

/// The pairs of a body: words with a colon inside.
fn pairs(body: &str, at: usize) -> Vec<(&str, Field<'_>)> {
    body.split(' ')
        .filter_map(|word| {
            let (key, value) = word.split_once(':')?;
            let start = at + (value.as_ptr() as usize - body.as_ptr() as usize);
            (!key.is_empty()).then(|| {
                (
                    key,
                    Field {
                        text: value,
                        quoted: false,
                        span: Span::new(start, start + value.len()),
                    },
                )
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of};

    #[test]
    fn names_with_blanks_are_stepped_over_and_units_left_aside() {
        let found = of(
            "#MONI",
            "Ember Mobile RSRP:-92 RSRQ:-17 TAC:853A Id:8AA802 EARFCN:800 PWR:-54dbm DRX:1280",
        );
        assert_eq!(numbers(&found, Quantity::Rsrp), [-92.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-54.0]);
        assert_eq!(numbers(&found, Quantity::CellId), [9_086_978.0]);
    }

    #[test]
    fn minus_one_is_no_measurement_on_the_one_that_says_so() {
        let found = of(
            "+SQNMONI",
            "00101 Cc:001 Nc:01 RSRP:-80.20 CINR:0.00 RSRQ:-12.90 TAC:61 Id:222 EARFCN:3700 PWR:-59.52 PAGING:64",
        );
        assert_eq!(numbers(&found, Quantity::Rsrp), [-80.2]);
        assert_eq!(numbers(&found, Quantity::Pci), [222.0]);
        let none = of(
            "+SQNMONI",
            "Ember Cc:001 Nc:01 RSRP:-1 CINR:-1 RSRQ:-1 TAC:48364 Id:235 EARFCN:2050 PWR:-1 PAGING:128",
        );
        assert!(none.contains(&Fact::no_value(Quantity::Rsrp, Cell::Serving)));
        assert!(numbers(&none, Quantity::Rsrp).is_empty());
    }
}
