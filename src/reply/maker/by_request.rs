//! Replies without a header, known by what was asked: `+NUESTATS`, `!LTEINFO?`, `!PCINFO?`.

use super::pen::{Pen, Scale};
use crate::capture::{Exchange, Line};
use crate::reply::{Cell, Fact, Facts, Field, Quantity, Service};
use crate::span::Span;

/// Reads the plain lines of an exchange whose request names one of them.
pub(in crate::reply) fn read(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let Some(command) = exchange.command else { return };
    let asked =
        |name: &str| command.get(..name.len()).is_some_and(|c| c.eq_ignore_ascii_case(name));
    if asked("+NUESTATS") {
        exchange.lines.iter().for_each(|l| statistics(l, facts));
    } else if asked("!LTEINFO") {
        serving_row(exchange.lines, facts);
    } else if asked("!PCINFO") {
        exchange.lines.iter().for_each(|l| power(l, facts));
    }
}

/// `Signal power:-758`, `NUESTATS:RADIO,Signal power,-758`: tenths of dBm and dB.
fn statistics(line: &Line<'_>, facts: &mut Facts) {
    const TENTHS: Scale = Scale::Parts(10.0);
    let text = line.text;
    let cut = text.rfind([':', ',']).filter(|at| *at > 0);
    let Some(at) = cut else { return };
    let value = text[at + 1..].trim();
    let start = line.text_at + text.len() - text[at + 1..].trim_start().len();
    let field = Field { text: value, quoted: false, span: Span::new(start, start + value.len()) };
    let key = text[..at].rsplit([':', ',']).next().unwrap_or("").trim().to_ascii_lowercase();
    let mut pen = Pen::new(facts);
    let scaled = |pen: &mut Pen<'_>, quantity| pen.level(quantity, Some(&field), TENTHS);
    match key.as_str() {
        "signal power" => scaled(&mut pen, Quantity::Rsrp),
        "total power" => scaled(&mut pen, Quantity::Rssi),
        "tx power" => scaled(&mut pen, Quantity::TxPower),
        "snr" => scaled(&mut pen, Quantity::Sinr),
        "rsrq" => scaled(&mut pen, Quantity::Rsrq),
        "cell id" => pen.cell_decimal(Some(&field)),
        "earfcn" => pen.plain(Quantity::Earfcn, Some(&field)),
        "pci" => pen.plain(Quantity::Pci, Some(&field)),
        "current band" => pen.plain(Quantity::Band, Some(&field)),
        "ecl" if value != "255" => pen.plain(Quantity::CoverageLevel, Some(&field)),
        _ => {}
    }
}

/// The row below `Serving: EARFCN MCC MNC TAC CID Bd D U SNR PCI RSRQ RSRP RSSI RXLV`.
fn serving_row(lines: &[Line<'_>], facts: &mut Facts) {
    let Some(at) = lines.iter().position(|l| l.text.trim_start().starts_with("Serving:")) else {
        return;
    };
    let (Some(head), Some(row)) = (lines.get(at), lines.get(at + 1)) else { return };
    let names: Vec<&str> = head.text.split_whitespace().skip(1).collect();
    let mut pen = Pen::new(facts);
    let mut network: Option<Field<'_>> = None;
    let mut from = 0;
    for (name, text) in names.iter().zip(row.text.split_whitespace()) {
        let found = row.text[from..].find(text).map_or(from, |i| from + i);
        from = found + text.len();
        let start = row.text_at + found;
        let field = Field { text, quoted: false, span: Span::new(start, start + text.len()) };
        if text.starts_with("--") {
            continue;
        }
        match *name {
            "EARFCN" => pen.plain(Quantity::Earfcn, Some(&field)),
            "MCC" => network = Some(field),
            "MNC" => pen.network(network.as_ref(), Some(&field)),
            "TAC" => {
                if let Ok(code) = text.parse::<u32>() {
                    pen.fact(
                        Fact::Word(Quantity::TacHex, format!("{code:04X}"), Cell::Serving),
                        field.span,
                    );
                }
            }
            "CID" => pen.cell_hex(Some(&field)),
            "Bd" => pen.plain(Quantity::Band, Some(&field)),
            "D" => pen.lte_width(Quantity::BandwidthMhz, Some(&field)),
            "SNR" => pen.plain(Quantity::Sinr, Some(&field)),
            "PCI" => pen.plain(Quantity::Pci, Some(&field)),
            "RSRQ" => pen.plain(Quantity::Rsrq, Some(&field)),
            "RSRP" => pen.plain(Quantity::Rsrp, Some(&field)),
            "RSSI" => pen.plain(Quantity::Rssi, Some(&field)),
            _ => {}
        }
    }
}

/// `State: Low Power Mode`: the radio is held off.
fn power(line: &Line<'_>, facts: &mut Facts) {
    let Some(state) = line.text.trim().strip_prefix("State:") else { return };
    if matches!(state.trim().to_ascii_lowercase().as_str(), "low power mode" | "offline") {
        facts.push(Fact::Service(Service::RadioOff), line.span);
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::reply::{Quantity, Service};

    fn level(text: &str, quantity: Quantity) -> Option<f64> {
        Case::read(&Capture::new(text)).level(quantity).and_then(|(v, _)| v)
    }

    #[test]
    fn statistics_are_tenths() {
        let text = "AT+NUESTATS\nSignal power:-758\nTotal power:-690\nTX power:-32768\nSNR:132\nEARFCN:3518\nPCI:22\nRSRQ:-108\nOK";
        assert_eq!(level(text, Quantity::Rsrp), Some(-75.8));
        assert_eq!(level(text, Quantity::Sinr), Some(13.2));
        assert_eq!(level(text, Quantity::TxPower), None);
        assert_eq!(level(text, Quantity::Pci), Some(22.0));
    }

    #[test]
    fn a_table_is_read_by_the_names_above_it() {
        let text = "AT!LTEINFO?\n!LTEINFO:\nServing:   EARFCN MCC MNC   TAC      CID Bd D U SNR PCI  RSRQ   RSRP   RSSI RXLV\n              800 001 01 44851 0AA2508E  2 5 5  22 404 -14.1  -79.6  -45.5 --\nOK";
        assert_eq!(level(text, Quantity::Rsrp), Some(-79.6));
        assert_eq!(level(text, Quantity::Band), Some(2.0));
        assert_eq!(level(text, Quantity::BandwidthMhz), Some(20.0));
    }

    #[test]
    fn a_held_radio_is_told() {
        let case = Case::read(&Capture::new(
            "AT!PCINFO?\nState: Low Power Mode\nLPM voters - Temp:0, Volt:0\nOK",
        ));
        assert_eq!(case.service.latest().map(|o| o.value), Some(Service::RadioOff));
    }
}
