//! `+NUESTATS`: statistics of the radio, a `key:value` a line, in tenths of dBm and dB.
//!
//! ```text
//! Signal power:-758            NUESTATS:RADIO,Signal power,-758
//! ```

use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::fact_writer::FactWriter;
use crate::response::scale::Scale;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["+NUESTATS"],
    request: "+NUESTATS",
    source: "maker's command",
    about: "levels, cell and coverage level of NB-IoT",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rssi,
        Quantity::TxPower,
        Quantity::Sinr,
        Quantity::Rsrq,
        Quantity::CellId,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::Band,
        Quantity::CoverageLevel,
    ],
    read,
};

/// Whether a line begins the reply.
pub(super) fn begins(line: &str) -> bool {
    let rest = line.strip_prefix("NUESTATS:RADIO,").unwrap_or(line);
    rest.get(..13).is_some_and(|w| w.eq_ignore_ascii_case("signal power:"))
        || rest.len() < line.len()
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let rows = || {
        let lines = reply.tail.iter().map(|line| (line.text, line.span.start));
        std::iter::once((reply.body, reply.body_at)).chain(lines)
    };
    // Without a cell the levels are what stood there last, or a floor.
    let zero = |name: &str| {
        rows().any(|(text, _)| {
            text.rsplit_once([':', ',']).is_some_and(|(key, value)| {
                value.trim() == "0" && key.trim().to_ascii_lowercase().ends_with(name)
            })
        })
    };
    let camped = !(zero("cell id") && zero("earfcn"));
    for (text, at) in rows() {
        statistic(&mut pen, text, at, camped);
    }
    pen.done()
}

fn statistic(pen: &mut FactWriter<'_>, text: &str, at: usize, camped: bool) {
    const TENTHS: Scale = Scale::Parts(10.0);
    let Some(cut) = text.rfind([':', ',']).filter(|at| *at > 0) else { return };
    let value = text[cut + 1..].trim();
    let start = at + text.len() - text[cut + 1..].trim_start().len();
    let field = Field { text: value, quoted: false, span: Span::new(start, start + value.len()) };
    let key = text[..cut].rsplit([':', ',']).next().unwrap_or("").trim().to_ascii_lowercase();
    let scaled = |pen: &mut FactWriter<'_>, quantity| {
        if camped {
            pen.level(quantity, Some(&field), TENTHS);
        } else {
            pen.fact(Fact::no_value(quantity, Cell::Serving), field.span);
        }
    };
    match key.as_str() {
        "signal power" => scaled(pen, Quantity::Rsrp),
        "total power" => scaled(pen, Quantity::Rssi),
        "tx power" => scaled(pen, Quantity::TxPower),
        "snr" => scaled(pen, Quantity::Sinr),
        "rsrq" => scaled(pen, Quantity::Rsrq),
        "cell id" => pen.cell_decimal(Some(&field)),
        "earfcn" => pen.plain(Quantity::Earfcn, Some(&field)),
        "pci" => pen.plain(Quantity::Pci, Some(&field)),
        "current band" => pen.plain(Quantity::Band, Some(&field)),
        "ecl" if value != "255" => pen.plain(Quantity::CoverageLevel, Some(&field)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn statistics_are_tenths() {
        let rows = [
            "Signal power:-758",
            "Total power:-690",
            "TX power:-32768",
            "SNR:132",
            "EARFCN:3518",
            "PCI:22",
            "RSRQ:-108",
        ];
        let found = of_block("+NUESTATS", "", &rows);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-75.8]);
        assert_eq!(numbers(&found, Quantity::Sinr), [13.2]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-10.8]);
        assert!(numbers(&found, Quantity::TxPower).is_empty());
        assert_eq!(numbers(&found, Quantity::Pci), [22.0]);
    }

    #[test]
    fn without_a_cell_no_level_is_one() {
        let rows = ["Signal power:-1340", "Cell ID:0", "ECL:255", "SNR:-300", "EARFCN:0", "PCI:0"];
        let found = of_block("+NUESTATS", "", &rows);
        assert!(numbers(&found, Quantity::Rsrp).is_empty());
        assert!(numbers(&found, Quantity::Sinr).is_empty());
    }

    #[test]
    fn the_form_with_a_section_is_the_same() {
        let found = of_block("+NUESTATS", "RADIO,Signal power,-912", &[]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-91.2]);
        let bare = of_block("+NUESTATS", "", &["NUESTATS:RADIO,SNR,-24"]);
        assert_eq!(numbers(&bare, Quantity::Sinr), [-2.4]);
    }
}
