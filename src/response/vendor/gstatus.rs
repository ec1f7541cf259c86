//! `!GSTATUS`: labels with values, two a line, which captures often run together.
//!
//! The text is cut at the labels, never at white space: values hold blanks themselves.

use super::family;
use crate::case::{Cell, Fact, Facts, Power, Quantity, Rat, Service};
use crate::response::columns::{AREA, BodyLine, CELL, Column, plain, whole};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{Family, Field, Read, Response, bands, names};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["!GSTATUS"],
    "!GSTATUS?",
    "mode, service, serving cell and the level of each antenna port",
    YIELDS,
    read,
);

pub(super) const YIELDS: &[Quantity] = &[
    Quantity::Rsrp,
    Quantity::Rsrq,
    Quantity::Rssi,
    Quantity::Sinr,
    Quantity::Band,
    Quantity::Earfcn,
    Quantity::NrArfcn,
    Quantity::TacHex,
    Quantity::CellId,
    Quantity::BandwidthMhz,
    Quantity::TxPower,
    Quantity::Temperature,
];

/// Labels; those that are longer stand before those that they end in.
const LABELS: &[&str] = &[
    "Modem Mitigate Level",
    "Thermal Mitigation Level",
    "Current Time",
    "Temperature",
    "Reset Counter",
    "Bootup Time",
    "System mode",
    "Mode",
    "PS state",
    "LTE band",
    "LTE bw",
    "LTE Rx chan",
    "LTE Tx chan",
    "LTE CA state",
    "LTE Scell band",
    "LTE Scell bw",
    "LTE Scell chan",
    "LTE SSC1 state",
    "LTE SSC2 state",
    "LTE SSC3 state",
    "LTE SSC4 state",
    "LTE SCC1 state",
    "EMM state",
    "RRC state",
    "IMS reg state",
    "IMS mode",
    "PCC RxM RSSI",
    "PCC RxD RSSI",
    "PCC RxM RSRP",
    "PCC RxD RSRP",
    "SCC RxM RSSI",
    "SCC RxD RSSI",
    "SCC RxM RSRP",
    "SCC RxD RSRP",
    "SCC1 RxM RSSI",
    "SCC1 RxD RSSI",
    "SCC1 RxM RSRP",
    "SCC1 RxD RSRP",
    "Tx Power",
    "TAC",
    "Cell ID",
    "WCDMA band",
    "WCDMA channel",
    "GMM (PS) state",
    "MM (CS) state",
    "RxM RSSI C0",
    "RxD RSSI C0",
    "RxM RSSI C1",
    "RxD RSSI C1",
    "LAC",
    "NR5G Cell ID",
    "NR5G Carrier ID",
    "NR5G dl MIMO",
    "NR5G ul MIMO",
    "NR5G(sub6) Rx0 RSSI (dBm)",
    "NR5G(sub6) Rx1 RSSI (dBm)",
    "NR5G(sub6) Rx2 RSSI (dBm)",
    "NR5G(sub6) Rx3 RSSI (dBm)",
    "NR5G band",
    "NR5G bw",
    "NR5G dl bw",
    "NR5G ul bw",
    "NR5G Rx chan",
    "NR5G Tx chan",
    "NR5G RSRP (dBm)",
    "NR5G RSRQ (dB)",
    "NR5G SINR (dB)",
    "NR5G Tx Power",
    "RSSI (dBm)",
    "RSRP (dBm)",
    "RSRQ (dB)",
    "SINR (dB)",
];

/// Whether a line has labels that no other reply has.
pub(super) fn begins(line: &str) -> bool {
    ["PCC RxM RSSI:", "PCC RxD RSSI:", "LTE Rx chan:", "NR5G RSRP (dBm):"]
        .iter()
        .any(|label| line.contains(label))
}

/// Reads a page of labels. What stands behind no known label is left out.
pub(super) fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let pairs = pairs(reply);
        let empty = reply.body.is_empty() && reply.continuation.is_empty();
        if pairs.is_empty() && !empty {
            return Err(reply.no_form(0));
        }
        let mut page =
            Page { w, nr: Cell::Serving, port: None, band: None, best: None, open: false };
        for (label, value, open) in pairs {
            page.open = open;
            page.note(label, value);
        }
        // A page that was cut may have lost the higher level.
        let cut = reply.lines().any(|line| line.open);
        if let Some((value, span)) = page.best.filter(|_| !cut) {
            // The power of the cell is never below that of a receive branch (TS 36.214 §5.1.1).
            page.w.value(Quantity::Rsrp, value, span);
        }
        Ok(())
    })
}

/// Every label with its value, over the body and the lines below it, and whether the text ends behind it.
fn pairs<'t>(reply: &Response<'t>) -> Vec<(&'static str, Field<'t>, bool)> {
    let mut found = Vec::new();
    for BodyLine { text, at, open } in reply.lines() {
        let marks = labels_in(text);
        for (n, &(label, _, from)) in marks.iter().enumerate() {
            let to = marks.get(n + 1).map_or(text.len(), |&(_, start, _)| start);
            let value = &text[from..to];
            let trimmed = value.trim();
            if trimmed.is_empty() {
                continue;
            }
            let start = at + from + (value.len() - value.trim_start().len());
            let span = Span::new(start, start + trimmed.len());
            let last = open && n + 1 == marks.len();
            found.push((label, Field { text: trimmed, quoted: false, span }, last));
        }
    }
    found
}

/// The labels of a line: which, where each begins, and where its value begins.
fn labels_in(text: &str) -> Vec<(&'static str, usize, usize)> {
    let mut found = Vec::new();
    let mut from = 0;
    for (colon, _) in text.match_indices(':') {
        let before = text[from..colon].trim_end();
        let label =
            LABELS.iter().filter(|label| ends_with(before, label)).max_by_key(|label| label.len());
        if let Some(label) = label {
            found.push((*label, from + before.len() - label.len(), colon + 1));
            from = colon + 1;
        }
    }
    found
}

fn ends_with(text: &str, label: &str) -> bool {
    let Some(cut) = text.len().checked_sub(label.len()) else { return false };
    text.get(cut..).is_some_and(|end| end.eq_ignore_ascii_case(label))
        && text[..cut].chars().next_back().is_none_or(|c| !c.is_alphanumeric())
}

struct Page<'w, 'f> {
    w: &'w mut FactWriter<'f>,
    /// Where NR values belong: to a leg beside LTE, or to the serving cell.
    nr: Cell,
    /// The antenna port that a bare power belongs to; a secondary carrier's is `Some(None)`.
    port: Option<Option<u8>>,
    band: Option<u16>,
    best: Option<(f64, Span)>,
    /// Whether the text ends right behind the value.
    open: bool,
}

impl Page<'_, '_> {
    fn note(&mut self, label: &str, field: Field<'_>) {
        let first = first_word(field);
        match label {
            "Temperature" => self.column(plain(Quantity::Temperature), &first),
            "Modem Mitigate Level" | "Thermal Mitigation Level" => {
                if first.small().is_some_and(|level| level > 0) {
                    self.w.fact(Fact::Power(Power::Temperature), first.span);
                }
            }
            // The end of a text may have cut a word.
            "Mode" | "System mode" | "PS state" | "EMM state" if self.open => {}
            "Mode" => {
                if names::service(field.text) == Some(Service::RadioOff) {
                    self.w.fact(Fact::Service(Service::RadioOff), field.span);
                }
            }
            "System mode" => self.system(field),
            "PS state" => match field.text.to_ascii_lowercase().as_str() {
                "attached" => self.w.fact(Fact::Attached(true), field.span),
                "not attached" | "detached" => self.w.fact(Fact::Attached(false), field.span),
                _ => {}
            },
            "EMM state" => self.mobility(field),
            "LTE band" => {
                self.band = bands::named(field.text);
                self.named_band(Cell::Serving, field);
            }
            "LTE bw" => self.column(plain(Quantity::BandwidthMhz), &field),
            "LTE Rx chan" => self.channel(field),
            "LTE Scell band" => self.named_band(Cell::Secondary, field),
            "LTE Scell bw" => self.secondary(Quantity::BandwidthMhz, field),
            "LTE Scell chan" => self.secondary(Quantity::Earfcn, field),
            "TAC" | "LAC" => self.column(AREA, &first),
            "Cell ID" => self.column(CELL, &first),
            "RSRQ (dB)" => self.column(plain(Quantity::Rsrq), &first),
            "SINR (dB)" => self.column(plain(Quantity::Sinr), &first),
            "Tx Power" => self.column(plain(Quantity::TxPower), &first),
            "RSSI (dBm)" => self.column(plain(Quantity::Rssi), &first),
            _ if label.starts_with("NR5G") => self.nr(label, field),
            _ => self.branch(label, first),
        }
    }

    fn column(&mut self, column: Column, field: &Field<'_>) {
        self.w.labelled(column, field, self.open);
    }

    fn system(&mut self, field: Field<'_>) {
        if names::service(field.text) == Some(Service::None) {
            self.w.fact(Fact::Service(Service::None), field.span);
        } else if field.text.eq_ignore_ascii_case("ENDC") {
            self.nr = Cell::Secondary;
            self.w.fact(Fact::Technology(Rat::Lte), field.span);
        } else if let Some(rat) = names::technology(field.text) {
            self.w.fact(Fact::Technology(rat), field.span);
        }
    }

    /// State and sub-state of mobility management, with blanks between them.
    fn mobility(&mut self, field: Field<'_>) {
        let words = field.text.to_ascii_lowercase();
        let state = if words.contains("normal service") && !words.starts_with("dereg") {
            Service::Normal
        } else if words.contains("limited") {
            Service::Limited
        } else if ["search", "no cell"].iter().any(|w| words.contains(w)) {
            // Without a cell it looks for one (TS 24.301 §5.1.3.2.1).
            Service::Searching
        } else {
            return;
        };
        self.w.fact(Fact::Service(state), field.span);
    }

    /// Channels of band 65 and above overflow the field of some firmware.
    fn channel(&mut self, field: Field<'_>) {
        let Ok(channel) = field.text.parse::<u32>() else { return };
        if self.band.and_then(|b| bands::holds_channel(b, channel)).unwrap_or(channel != 0) {
            self.column(plain(Quantity::Earfcn), &field);
        }
    }

    fn named_band(&mut self, cell: Cell, field: Field<'_>) {
        if let Some(number) = bands::named(field.text).filter(|_| !self.open) {
            self.w.turn_to(cell);
            self.w.value(Quantity::Band, f64::from(number), field.span);
            self.w.turn_to(Cell::Serving);
        }
    }

    fn secondary(&mut self, quantity: Quantity, field: Field<'_>) {
        self.w.turn_to(Cell::Secondary);
        self.column(plain(quantity), &field);
        self.w.turn_to(Cell::Serving);
    }

    fn nr(&mut self, label: &str, field: Field<'_>) {
        if field.is_blank() {
            return;
        }
        if label == "NR5G band" {
            return self.named_band(self.nr, field);
        }
        if let Some(port) = label.strip_prefix("NR5G(sub6) Rx").and_then(|l| l.get(..1)) {
            if let (Ok(port), Some(value), false) = (port.parse(), number(field.text), self.open) {
                self.w.port(port, Quantity::Rssi, value, false, field.span);
            }
            return;
        }
        let quantity = match label {
            "NR5G bw" | "NR5G dl bw" => Quantity::BandwidthMhz,
            "NR5G Rx chan" => Quantity::NrArfcn,
            "NR5G RSRP (dBm)" => Quantity::Rsrp,
            "NR5G RSRQ (dB)" => Quantity::Rsrq,
            "NR5G SINR (dB)" => Quantity::Sinr,
            _ => return,
        };
        self.w.turn_to(self.nr);
        self.column(plain(quantity), &field);
        self.w.turn_to(Cell::Serving);
    }

    /// A level of one receive branch, or the bare power that follows it.
    fn branch(&mut self, label: &str, field: Field<'_>) {
        if label == "RSRP (dBm)" {
            return match self.port.take() {
                Some(Some(port)) => self.level(port, Quantity::Rsrp, field),
                Some(None) => {}
                None => self.column(plain(Quantity::Rsrp), &field),
            };
        }
        let Some((carrier, rest)) = label.split_once(" Rx") else { return };
        let port = u8::from(!rest.starts_with('M'));
        let quantity = if rest.ends_with("RSRP") { Quantity::Rsrp } else { Quantity::Rssi };
        if carrier == "PCC" {
            self.level(port, quantity, field);
        }
        self.port = Some((carrier == "PCC").then_some(port));
    }

    fn level(&mut self, port: u8, quantity: Quantity, field: Field<'_>) {
        let Some(value) = number(field.text).filter(|_| !self.open) else { return };
        let unused = quantity == Quantity::Rsrp && [-140, -44].map(f64::from).contains(&value);
        if self.w.port(port, quantity, value, unused, field.span)
            && quantity == Quantity::Rsrp
            && self.best.is_none_or(|(most, _)| value > most)
        {
            self.best = Some((value, field.span));
        }
    }
}

fn first_word(field: Field<'_>) -> Field<'_> {
    let end = field.text.find([' ', '\t']).unwrap_or(field.text.len());
    let text = &field.text[..end];
    Field { text, span: Span::new(field.span.start, field.span.start + end), ..field }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!GSTATUS:\nCurrent Time:  22016\t\tTemperature: 40\nSystem mode:   LTE        \tPS state:    Attached\nLTE band:      B2     \t\tLTE bw:      20 MHz\nPCC RxM RSSI:  -45\t\tRSRP (dBm):  -81\nPCC RxD RSSI:  -44\t\tRSRP (dBm):  -79\nTx Power:      --\t\tTAC:         DD56 (56662)\nRSRQ (dB):     -14.0\t\tCell ID:     0AA25000 (178409472)\nSINR (dB):     23.8",
];

#[cfg(test)]
mod tests;
