//! How the field of a vendor's response becomes a fact: the marks for "no value", the identities.

use super::scale::{RXLEV, Scale};
use super::{Field, Form, Read, Response};
use crate::case::{Cell, Fact, Facts, Quantity, Rat, Uncertainty};
use crate::reference::rates;
use crate::span::Span;
use compact_str::{CompactString, format_compact};

/// Whether a number is one of the marks for "no value", whatever the quantity.
fn is_mark(raw: f64) -> bool {
    const MARKS: [f64; 9] = [
        -32768.0,
        -32767.0,
        -3276.0,
        -3276.8,
        32767.0,
        65535.0,
        2_147_483_647.0,
        4_294_967_295.0,
        -256.0,
    ];
    MARKS.iter().any(|mark| (raw - mark).abs() < f64::EPSILON)
}

/// Whether an identity is all ones, zero, or the "deleted" area code: not known.
fn is_no_identity(value: u64) -> bool {
    matches!(
        value,
        0 | 0xFFFE | 0xFFFF | 0xFF_FFFF | 0xFFF_FFFF | 0x7FFF_FFFF | 0xFFFF_FFFF | 0xF_FFFF_FFFF
    )
}

/// The number in a field: a unit glued to it and a stray closing dash are left aside.
pub(super) fn number(text: &str) -> Option<f64> {
    let first = *text.as_bytes().first()?;
    if !(first.is_ascii_digit() || matches!(first, b'-' | b'+' | b'.')) {
        return None;
    }
    let end = text
        .bytes()
        .enumerate()
        .skip(1)
        .find(|(_, b)| !(b.is_ascii_digit() || *b == b'.'))
        .map_or(text.len(), |(at, _)| at);
    let (digits, rest) = text.split_at(end);
    let unit = rest.trim_start();
    let fits = unit.is_empty()
        || unit == "-"
        || ["dBm", "dB", "MHz", "C", "mV", "degC"].iter().any(|u| unit.eq_ignore_ascii_case(u));
    if fits { digits.parse().ok().filter(|v: &f64| v.is_finite()) } else { None }
}

/// Notes facts of one reply, and knows at the end whether there were any.
pub(super) struct FactWriter<'f> {
    facts: &'f mut Facts,
    cell: Cell,
    before: usize,
    understood: bool,
}

impl<'f> FactWriter<'f> {
    /// Begins with the serving cell.
    pub(super) fn new(facts: &'f mut Facts) -> Self {
        let before = facts.found().len();
        Self { facts, cell: Cell::Serving, before, understood: false }
    }

    /// Begins with the serving cell, unless the reply only lists what is possible.
    pub(super) fn of_state(reply: &Response<'_>, facts: &'f mut Facts) -> Option<Self> {
        (reply.form != Form::Test).then(|| Self::new(facts))
    }

    /// What follows belongs to this cell.
    pub(super) fn turn_to(&mut self, cell: Cell) {
        self.cell = cell;
    }

    /// Notes a fact as it is.
    pub(super) fn fact(&mut self, fact: Fact, span: Span) {
        self.facts.push(fact, span);
    }

    /// Notes a value already in its unit, unless it cannot be.
    pub(super) fn value(&mut self, quantity: Quantity, value: f64, span: Span) -> bool {
        self.facts.number(quantity, value, self.cell, span)
    }

    /// Notes the level of one antenna port; returns whether there was one.
    pub(super) fn port(
        &mut self,
        port: u8,
        quantity: Quantity,
        value: f64,
        unused: bool,
        span: Span,
    ) -> bool {
        let (low, high) = quantity.range();
        if unused || is_mark(value) {
            self.fact(Fact::Port(port, quantity, None), span);
            return false;
        }
        let fits = (low..=high).contains(&value);
        if fits {
            self.fact(Fact::Port(port, quantity, Some(value)), span);
        }
        fits
    }

    /// Notes that the modem has no value.
    pub(super) fn unknown(&mut self, quantity: Quantity, span: Span) {
        self.facts.push(Fact::no_value(quantity, self.cell), span);
    }

    /// Notes a reading that is not settled.
    pub(super) fn doubt(
        &mut self,
        quantity: Quantity,
        between: Option<(f64, f64)>,
        why: &'static str,
        span: Span,
    ) {
        let doubt = Uncertainty { quantity, cell: self.cell, between, why };
        self.facts.push(Fact::Uncertain(doubt), span);
    }

    /// Notes the number of a field on its scale; a field that is not there notes nothing.
    pub(super) fn level(&mut self, quantity: Quantity, field: Option<&Field<'_>>, scale: Scale) {
        let Some(field) = field else { return };
        if field.is_blank() {
            return self.unknown(quantity, field.span);
        }
        let Some(raw) = number(field.text) else { return };
        let unknown_index = scale.is_index() && (raw >= 255.0 || (raw >= 99.0 && scale == RXLEV));
        if is_mark(raw) || unknown_index {
            return self.unknown(quantity, field.span);
        }
        // A level of exactly zero is a place holder on every scale that is not an index.
        let empty =
            raw == 0.0 && matches!(quantity, Quantity::Rssi | Quantity::Rsrq | Quantity::EcNo);
        if let Some(value) = scale.value(raw).filter(|_| !empty) {
            self.value(quantity, value, field.span);
        }
    }

    /// Notes a plain number.
    pub(super) fn plain(&mut self, quantity: Quantity, field: Option<&Field<'_>>) {
        self.level(quantity, field, Scale::Plain);
    }

    /// Notes a number written in hexadecimal digits.
    pub(super) fn hex(&mut self, quantity: Quantity, field: Option<&Field<'_>>) {
        let Some(field) = field else { return };
        match field.hex() {
            Some(0xFFFF | 0x7FFF_FFFF | 0xFFFF_FFFF) => self.unknown(quantity, field.span),
            #[expect(clippy::cast_precision_loss, reason = "too large a value is out of range")]
            Some(value) => {
                self.value(quantity, value as f64, field.span);
            }
            None if field.is_blank() => self.unknown(quantity, field.span),
            None => {}
        }
    }

    /// Notes an E-UTRA channel width given as its index 0..=5.
    pub(super) fn lte_width(&mut self, quantity: Quantity, field: Option<&Field<'_>>) {
        const MHZ: [f64; 6] = [1.4, 3.0, 5.0, 10.0, 15.0, 20.0];
        self.table(quantity, field, &MHZ);
    }

    /// Notes an E-UTRA channel width given in resource blocks (TS 36.101 table 5.6-1).
    pub(super) fn resource_blocks(&mut self, quantity: Quantity, field: Option<&Field<'_>>) {
        let Some(field) = field else { return };
        let blocks = field.int().and_then(|n| u32::try_from(n).ok());
        let Some(mhz) = blocks.and_then(rates::width_mhz) else { return };
        self.value(quantity, mhz, field.span);
    }

    /// Notes an NR channel width given as its index 0..=16.
    pub(super) fn nr_width(&mut self, field: Option<&Field<'_>>) {
        const MHZ: [f64; 17] = [
            5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 200.0,
            400.0, 35.0, 45.0,
        ];
        self.table(Quantity::BandwidthMhz, field, &MHZ);
    }

    /// Notes an NR subcarrier spacing given as its index 0..=4.
    pub(super) fn spacing(&mut self, field: Option<&Field<'_>>) {
        self.table(Quantity::SubcarrierKhz, field, &[15.0, 30.0, 60.0, 120.0, 240.0]);
    }

    fn table(&mut self, quantity: Quantity, field: Option<&Field<'_>>, values: &[f64]) {
        let Some(field) = field else { return };
        if let Some(&value) = field.small().and_then(|n| values.get(usize::from(n))) {
            self.value(quantity, value, field.span);
        }
    }

    /// Notes a cell identity in hexadecimal digits.
    pub(super) fn cell_hex(&mut self, field: Option<&Field<'_>>) {
        if let Some(field) = field {
            self.cell_identity(field.hex(), *field);
        }
    }

    /// Notes a cell identity in decimal digits; a negative one is an overflow and says nothing.
    pub(super) fn cell_decimal(&mut self, field: Option<&Field<'_>>) {
        if let Some(field) = field {
            self.cell_identity(field.text.parse().ok(), *field);
        }
    }

    fn cell_identity(&mut self, value: Option<u64>, field: Field<'_>) {
        match value {
            Some(id) if is_no_identity(id) => self.unknown(Quantity::CellId, field.span),
            #[expect(clippy::cast_precision_loss, reason = "too large a value is out of range")]
            Some(id) => {
                self.value(Quantity::CellId, id as f64, field.span);
            }
            None if field.is_blank() => self.unknown(Quantity::CellId, field.span),
            None => {}
        }
    }

    /// Notes a tracking or location area code in hexadecimal digits.
    pub(super) fn area_hex(&mut self, field: Option<&Field<'_>>) {
        let Some(field) = field else { return };
        match (field.hex_digits(), field.hex()) {
            (_, Some(code)) if is_no_identity(code) => self.unknown(Quantity::TacHex, field.span),
            (Some(digits), Some(0..=0xFF_FFFF)) => {
                let word = CompactString::new(digits.to_ascii_uppercase());
                self.fact(Fact::word(Quantity::TacHex, word, self.cell), field.span);
            }
            _ if field.is_blank() => self.unknown(Quantity::TacHex, field.span),
            _ => {}
        }
    }

    /// Notes a tracking area code in decimal digits; zero and the marks for "none" are left out.
    pub(super) fn area_decimal(&mut self, field: Option<&Field<'_>>) {
        let Some(field) = field else { return };
        let code = field
            .text
            .parse::<u32>()
            .ok()
            .filter(|c| *c < 0x100_0000 && !is_no_identity(u64::from(*c)));
        if let Some(code) = code {
            let word = Fact::word(Quantity::TacHex, format_compact!("{code:04X}"), self.cell);
            self.fact(word, field.span);
        }
    }

    /// Notes country and network code from their own fields.
    pub(super) fn network(&mut self, mcc: Option<&Field<'_>>, mnc: Option<&Field<'_>>) {
        if let (Some(mcc), Some(mnc)) = (mcc, mnc) {
            self.network_texts(mcc.text, mcc.span, mnc.text, mnc.span);
        }
    }

    /// Notes country and network code from one field: `00101`, `001-01`, `001 01`.
    pub(super) fn joined_network(&mut self, field: Option<&Field<'_>>) {
        let Some(field) = field else { return };
        if !field.text.is_ascii() || !(5..=7).contains(&field.text.len()) {
            return;
        }
        let (mcc, rest) = field.text.split_at(3);
        let mnc = rest.trim_start_matches(['-', ' ']);
        let cut = field.span.start + 3;
        let mnc_at = Span::new(field.span.end - mnc.len(), field.span.end);
        self.network_texts(mcc, Span::new(field.span.start, cut), mnc, mnc_at);
    }

    fn network_texts(&mut self, mcc: &str, mcc_at: Span, mnc: &str, mnc_at: Span) {
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if mcc.len() == 3 && digits(mcc) && (1..=3).contains(&mnc.len()) && digits(mnc) {
            self.fact(Fact::word(Quantity::Mcc, mcc.into(), self.cell), mcc_at);
            self.fact(Fact::word(Quantity::Mnc, mnc.into(), self.cell), mnc_at);
        }
    }

    /// Notes the channel number of a technology.
    pub(super) fn channel(&mut self, rat: Rat, field: Option<&Field<'_>>) {
        self.plain(channel_quantity(rat), field);
    }

    /// The form is known although it says nothing that is kept.
    pub(super) fn understood(&mut self) {
        self.understood = true;
    }

    /// Understood, if anything was noted.
    pub(super) fn done(self) -> Read {
        if self.understood || self.facts.found().len() > self.before {
            Read::Understood
        } else {
            Read::UnknownForm
        }
    }
}

/// The channel number that a technology counts with.
pub(super) const fn channel_quantity(rat: Rat) -> Quantity {
    match rat {
        Rat::Gsm => Quantity::Arfcn,
        Rat::Utra => Quantity::Uarfcn,
        Rat::Lte | Rat::LteM | Rat::NbIot => Quantity::Earfcn,
        Rat::Nr => Quantity::NrArfcn,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_glued_unit_and_a_stray_dash_do_not_hide_a_number() {
        assert_eq!(number("-54dbm"), Some(-54.0));
        assert_eq!(number("23-"), Some(23.0));
        assert_eq!(number("39.00 C"), Some(39.0));
        assert_eq!(number("12x"), None);
        assert_eq!(number("-"), None);
    }
}
