//! How the field of a vendor's response becomes a fact: the marks for "no value", the identities, the widths.

use super::scale::{RXLEV, Scale};
use super::{Field, bands};
use crate::case::{Cell, Fact, Facts, Quantity, Rat, Uncertainty};
use crate::reference::rates;
use crate::span::Span;
use compact_str::{CompactString, format_compact};
use nom::Parser;
use nom::branch::alt;
use nom::bytes::complete::{tag, tag_no_case};
use nom::character::complete::{digit1, one_of, space0};
use nom::combinator::{all_consuming, opt, recognize};
use nom::sequence::{pair, preceded, terminated};

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

/// The number in a field: a unit glued to it and a closing dash, which lost its comma, are left aside.
pub(super) fn number(text: &str) -> Option<f64> {
    let sign = opt(one_of("+-"));
    let digits = alt((
        recognize(pair(digit1, opt(pair(tag("."), digit1)))),
        recognize(preceded(tag("."), digit1)),
    ));
    let unit = alt((
        tag_no_case("dBm"),
        tag_no_case("dB"),
        tag_no_case("MHz"),
        tag_no_case("degC"),
        tag_no_case("mV"),
        tag_no_case("C"),
        tag("-"),
    ));
    let whole = terminated(recognize(pair(sign, digits)), opt(preceded(space0, unit)));
    let read: Result<(&str, &str), nom::Err<nom::error::Error<&str>>> =
        all_consuming(whole).parse(text);
    read.ok()?.1.parse().ok().filter(|v: &f64| v.is_finite())
}

/// Whether a person has hidden an identity or its end: `A20…`, `XXXX`, `****`, `<removed>`.
pub(super) fn is_masked(text: &str) -> bool {
    let marks = ["...", "…", "**", "XX", "xx", "YY", "##", "••"];
    marks.iter().any(|mark| text.contains(mark)) || text.starts_with('<') && text.ends_with('>')
}

/// Whether a person has hidden a name: signs alone, a run of stars in it, a word in its place.
pub(super) fn is_hidden_name(text: &str) -> bool {
    let sign = |c: char| matches!(c, '*' | '#' | '•' | '.' | '-' | 'x' | 'X');
    let alone = text.len() > 2 && text.chars().all(sign);
    let placed = |open, close| text.starts_with(open) && text.ends_with(close);
    alone || text.contains("***") || placed('<', '>') || placed('[', ']')
}

/// A field that is not as expected, unless a person has hidden it: then it says nothing.
pub(super) fn hidden(field: &Field<'_>, expected: &'static str) -> Taken {
    if is_masked(field.text) { Ok(()) } else { Err(expected) }
}

/// What a field was expected to be, where it is not.
pub(super) type Taken = Result<(), &'static str>;

/// Notes the facts of one response, for one cell at a time.
pub(super) struct FactWriter<'f> {
    facts: &'f mut Facts,
    cell: Cell,
    /// The data session that the row is about: its context, counted from 1, and whether it is open.
    pub(super) session: (u8, bool),
}

impl<'f> FactWriter<'f> {
    /// Begins with the serving cell.
    pub(super) fn new(facts: &'f mut Facts) -> Self {
        Self { facts, cell: Cell::Serving, session: (1, false) }
    }

    /// How many facts there are.
    pub(super) fn count(&self) -> usize {
        self.facts.found().len()
    }

    /// Takes back what was noted after the first `count` facts.
    pub(super) fn truncate(&mut self, count: usize) {
        self.facts.truncate(count);
    }

    /// Whether the facts from `middle` on are those from `start` to `middle` once more.
    pub(super) fn repeats(&self, start: usize, middle: usize) -> bool {
        let found = self.facts.found();
        let facts =
            |part: &[(Fact, Span)]| part.iter().map(|(fact, _)| fact.clone()).collect::<Vec<_>>();
        facts(&found[start..middle]) == facts(&found[middle..])
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
    pub(super) fn uncertain(
        &mut self,
        quantity: Quantity,
        between: Option<(f64, f64)>,
        why: &'static str,
        span: Span,
    ) {
        let uncertainty = Uncertainty { quantity, cell: self.cell, between, why };
        self.facts.push(Fact::Uncertain(uncertainty), span);
    }

    /// Notes the number of a field on its scale; one outside the range of its quantity is no value.
    pub(super) fn level(&mut self, quantity: Quantity, field: &Field<'_>, scale: Scale) -> Taken {
        if field.is_blank() {
            self.unknown(quantity, field.span);
            return Ok(());
        }
        let raw = number(field.text).ok_or("a number")?;
        let unknown_index = scale.is_index() && (raw >= 255.0 || (raw >= 99.0 && scale == RXLEV));
        if is_mark(raw) || unknown_index {
            self.unknown(quantity, field.span);
            return Ok(());
        }
        // A level of exactly zero is a place holder on every scale that is not an index.
        let empty =
            raw == 0.0 && matches!(quantity, Quantity::Rssi | Quantity::Rsrq | Quantity::EcNo);
        if let Some(value) = scale.value(raw).filter(|_| !empty) {
            self.value(quantity, value, field.span);
        }
        Ok(())
    }

    /// Notes a number written in hexadecimal digits.
    pub(super) fn hex(&mut self, quantity: Quantity, field: &Field<'_>) -> Taken {
        match field.hex() {
            Some(0xFFFF | 0x7FFF_FFFF | 0xFFFF_FFFF) => self.unknown(quantity, field.span),
            #[expect(clippy::cast_precision_loss, reason = "too large a value is out of range")]
            Some(value) => {
                self.value(quantity, value as f64, field.span);
            }
            None if field.is_blank() => self.unknown(quantity, field.span),
            None => return Err("hexadecimal digits"),
        }
        Ok(())
    }

    /// Notes an E-UTRA channel width given as its index 0..=5.
    pub(super) fn lte_width(&mut self, quantity: Quantity, field: &Field<'_>) -> Taken {
        const MHZ: [f64; 6] = [1.4, 3.0, 5.0, 10.0, 15.0, 20.0];
        self.table(quantity, field, &MHZ)
    }

    /// Notes an E-UTRA channel width given in resource blocks (TS 36.101 table 5.6-1).
    pub(super) fn resource_blocks(&mut self, quantity: Quantity, field: &Field<'_>) -> Taken {
        if field.is_blank() {
            return Ok(());
        }
        let blocks = field.int().and_then(|n| u32::try_from(n).ok()).ok_or("resource blocks")?;
        if let Some(mhz) = rates::width_mhz(blocks) {
            self.value(quantity, mhz, field.span);
        }
        Ok(())
    }

    /// Notes an NR channel width given as its index 0..=16.
    pub(super) fn nr_width(&mut self, field: &Field<'_>) -> Taken {
        const MHZ: [f64; 17] = [
            5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 200.0,
            400.0, 35.0, 45.0,
        ];
        self.table(Quantity::BandwidthMhz, field, &MHZ)
    }

    /// Notes an NR subcarrier spacing given as its index 0..=4.
    pub(super) fn spacing(&mut self, field: &Field<'_>) -> Taken {
        self.table(Quantity::SubcarrierKhz, field, &[15.0, 30.0, 60.0, 120.0, 240.0])
    }

    fn table(&mut self, quantity: Quantity, field: &Field<'_>, values: &[f64]) -> Taken {
        if field.is_blank() {
            return Ok(());
        }
        let index = field.int().ok_or("an index")?;
        if let Some(&value) = usize::try_from(index).ok().and_then(|n| values.get(n)) {
            self.value(quantity, value, field.span);
        }
        Ok(())
    }

    /// Notes a cell identity in decimal digits; a negative one is an overflow and says nothing.
    pub(super) fn cell_decimal(&mut self, field: &Field<'_>) -> Taken {
        match field.int() {
            Some(id) if id < 0 => Ok(()),
            id => self.cell(field, id.and_then(|id| u64::try_from(id).ok())),
        }
    }

    /// Notes a cell identity.
    pub(super) fn cell(&mut self, field: &Field<'_>, value: Option<u64>) -> Taken {
        match value {
            Some(id) if is_no_identity(id) => self.unknown(Quantity::CellId, field.span),
            #[expect(clippy::cast_precision_loss, reason = "too large a value is out of range")]
            Some(id) => {
                self.value(Quantity::CellId, id as f64, field.span);
            }
            None if field.is_blank() => self.unknown(Quantity::CellId, field.span),
            None => return hidden(field, "a cell identity"),
        }
        Ok(())
    }

    /// Notes a tracking or location area code in hexadecimal digits.
    pub(super) fn area(&mut self, field: &Field<'_>) -> Taken {
        match (field.hex_digits(), field.hex()) {
            (_, Some(code)) if is_no_identity(code) => self.unknown(Quantity::TacHex, field.span),
            (Some(digits), Some(0..=0xFF_FFFF)) => {
                let word = CompactString::new(digits.to_ascii_uppercase());
                self.fact(Fact::word(Quantity::TacHex, word, self.cell), field.span);
            }
            _ if field.is_blank() => self.unknown(Quantity::TacHex, field.span),
            _ => return hidden(field, "an area code in hexadecimal digits"),
        }
        Ok(())
    }

    /// Notes a tracking area code in decimal digits; zero and the marks for "none" are left out.
    pub(super) fn area_decimal(&mut self, field: &Field<'_>) -> Taken {
        if field.is_blank() {
            return Ok(());
        }
        let code: u32 = field.text.parse().map_err(|_| "an area code in decimal digits")?;
        if code < 0x100_0000 && !is_no_identity(u64::from(code)) {
            let word = Fact::word(Quantity::TacHex, format_compact!("{code:04X}"), self.cell);
            self.fact(word, field.span);
        }
        Ok(())
    }

    /// Notes a country or network code from its own field; all ones, or nothing, where none is known.
    pub(super) fn network_code(&mut self, quantity: Quantity, field: &Field<'_>) -> Taken {
        let text = field.text;
        let digits = text.bytes().all(|b| b.is_ascii_digit());
        let lengths = if quantity == Quantity::Mcc { 3..=3 } else { 1..=3 };
        if digits && lengths.contains(&text.len()) {
            self.fact(Fact::word(quantity, text.into(), self.cell), field.span);
            return Ok(());
        }
        let none = field.is_blank()
            || matches!(text, "0" | "65535")
            || text.bytes().all(|b| matches!(b, b'f' | b'F'));
        if none { Ok(()) } else { hidden(field, "a network code") }
    }

    /// Notes country and network code from one field: `00101`, `001-01`, `001 01`.
    pub(super) fn joined_network(&mut self, field: &Field<'_>) -> Taken {
        const WHAT: &str = "country and network code";
        if field.is_blank() {
            return Ok(());
        }
        if !field.text.is_ascii() || !(5..=7).contains(&field.text.len()) {
            return hidden(field, WHAT);
        }
        let (mcc, rest) = field.text.split_at(3);
        let mnc = rest.strip_prefix(['-', ' ']).unwrap_or(rest);
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if !(digits(mcc) && digits(mnc) && (1..=3).contains(&mnc.len())) {
            return hidden(field, WHAT);
        }
        let (start, end) = (field.span.start, field.span.end);
        self.fact(Fact::word(Quantity::Mcc, mcc.into(), self.cell), Span::new(start, start + 3));
        let at = Span::new(end - mnc.len(), end);
        self.fact(Fact::word(Quantity::Mnc, mnc.into(), self.cell), at);
        Ok(())
    }

    /// Notes a band by its name, where the name ends in its number.
    #[expect(clippy::unnecessary_wraps, reason = "a column is read by its type of function")]
    pub(super) fn band_name(&mut self, field: &Field<'_>) -> Taken {
        if let Some(number) = bands::named(field.text) {
            self.value(Quantity::Band, f64::from(number), field.span);
        }
        Ok(())
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
    fn a_name_that_was_hidden_is_none() {
        for hidden in ["****", "xxx.xxxxx", "<apn>", "[removed]", "gau***.example"] {
            assert!(is_hidden_name(hidden), "{hidden}");
        }
        for shown in ["maxx.example", "gauges.example", "x", "m2m-xx.example"] {
            assert!(!is_hidden_name(shown), "{shown}");
        }
    }

    #[test]
    fn a_glued_unit_and_a_stray_dash_do_not_hide_a_number() {
        assert_eq!(number("-54dbm"), Some(-54.0));
        assert_eq!(number("23-"), Some(23.0));
        assert_eq!(number("39.00 C"), Some(39.0));
        assert_eq!(number("12x"), None);
        assert_eq!(number("-"), None);
    }
}
