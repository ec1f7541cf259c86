//! The columns of a response's row: each with its type and its meaning; a row is read whole or nothing of it is taken.
//!
//! A form is a list of columns. Which form applies follows from the request or from a keyword of the response, never
//! from the failure of another form.

#![expect(
    clippy::redundant_closure_for_method_calls,
    reason = "a method of a type with a lifetime is no function for every lifetime"
)]

use super::fact_writer::{FactWriter, is_masked};
use super::grammar::{self, FieldError, Input, Parsed};
use super::scale::Scale;
use super::{Field, Form, Read, Response};
use crate::case::{Facts, Quantity};
use crate::span::Span;

/// Reads the text of a field and notes what it says, or says what it expected.
pub(super) type Note = fn(&mut FactWriter<'_>, &Field<'_>) -> Result<(), &'static str>;

/// Notes what a word says, which stands at this place.
pub(super) type Says = fn(&mut FactWriter<'_>, Span);

/// One column of a declared form.
#[derive(Clone, Copy)]
pub(super) enum Column {
    /// A decimal number on a scale; blank, or a mark for "no value".
    Number(Quantity, Scale),
    /// A number in hexadecimal digits.
    Hex(Quantity),
    /// A column of its own kind.
    Own(Note),
    /// One of these words; nothing is kept.
    Word(&'static [&'static str]),
    /// A number, a mark or a blank; nothing is kept.
    Figure,
    /// Hexadecimal digits or a blank; nothing is kept.
    Digits,
    /// A text in quotes or a word; nothing is kept.
    Text,
    /// A text that may hold blanks without quotes, before a comma; a column of its own kind.
    Phrase(Note),
    /// One of these words, the longest that fits, and what it says.
    Said(&'static [(&'static str, Says)]),
    /// The fields from here on may be missing.
    Optional,
    /// Further fields of any kind, each whole.
    Rest,
}

/// A number printed as it is.
pub(super) const fn plain(quantity: Quantity) -> Column {
    Column::Number(quantity, Scale::Plain)
}

/// A number printed in tenths.
pub(super) const fn tenths(quantity: Quantity) -> Column {
    Column::Number(quantity, Scale::Parts(10.0))
}

macro_rules! own {
    ($($(#[$doc:meta])* $NAME:ident = $method:expr;)*) => {
        $( $(#[$doc])* pub(super) const $NAME: Column = Column::Own($method); )*
    };
}

own! {
    /// A cell identity in hexadecimal digits.
    CELL = |w, f| w.cell(f, f.hex());
    /// A cell identity in decimal digits; a negative one is an overflow and says nothing.
    CELL_DECIMAL = |w, f| w.cell_decimal(f);
    /// A tracking or location area code in hexadecimal digits.
    AREA = |w, f| w.area(f);
    /// The same in decimal digits.
    AREA_DECIMAL = |w, f| w.area_decimal(f);
    /// Country code.
    MCC = |w, f| w.network_code(Quantity::Mcc, f);
    /// Network code.
    MNC = |w, f| w.network_code(Quantity::Mnc, f);
    /// Both in one field: `00101`, `001-01`, `001 01`.
    PLMN = |w, f| w.joined_network(f);
    /// A band by its name: `LTE BAND 7`.
    BAND_NAME = |w, f| w.band_name(f);
    /// Downlink width of E-UTRA as an index 0..=5.
    WIDTH = |w, f| w.lte_width(Quantity::BandwidthMhz, f);
    /// Uplink width of E-UTRA as an index 0..=5.
    UPLINK_WIDTH = |w, f| w.lte_width(Quantity::UplinkBandwidthMhz, f);
    /// Downlink width of E-UTRA in resource blocks.
    BLOCKS = |w, f| w.resource_blocks(Quantity::BandwidthMhz, f);
    /// Uplink width of E-UTRA in resource blocks.
    UPLINK_BLOCKS = |w, f| w.resource_blocks(Quantity::UplinkBandwidthMhz, f);
    /// NR channel width as an index 0..=16.
    NR_WIDTH = |w, f| w.nr_width(f);
    /// NR subcarrier spacing as an index 0..=4.
    SPACING = |w, f| w.spacing(f);
}

/// A whole number without leading zeros.
pub(super) fn canonical(field: &Field<'_>) -> Result<i64, &'static str> {
    let digits = field.text.strip_prefix('-').unwrap_or(field.text);
    let padded = digits.len() > 1 && digits.starts_with('0');
    field.int().filter(|_| !padded).ok_or("a whole number")
}

/// What a number may go on with.
const DIGITS: [&str; 10] = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"];
/// The same, or a decimal part.
const DECIMAL: [&str; 11] = ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9", ".5"];

/// One line of a response, prefix left out.
#[derive(Clone, Copy)]
pub(super) struct BodyLine<'t> {
    /// The text.
    pub(super) text: &'t str,
    /// Where it begins.
    pub(super) at: usize,
    /// Whether the text ends right behind it without a line end.
    pub(super) open: bool,
}

impl<'t> Response<'t> {
    /// The body and the lines below it.
    pub(super) fn lines(&self) -> impl Iterator<Item = BodyLine<'t>> + use<'t> {
        let first = BodyLine { text: self.body, at: self.body_at, open: self.open };
        let below = self.continuation.iter().map(|line| BodyLine {
            text: line.text,
            at: line.span.start,
            open: line.open,
        });
        std::iter::once(first).chain(below)
    }

    /// The text of a field as far as the next comma; empty where there is none.
    pub(super) fn text(&self, n: usize) -> &'t str {
        self.fields.get(n).map_or("", |f| f.text)
    }

    /// The error of a field that chooses no declared form.
    pub(super) fn no_form(&self, n: usize) -> FieldError {
        let field = self.fields.get(n);
        FieldError {
            response: self.prefix.to_owned(),
            field: "keyword",
            expected: "a keyword with a declared form",
            found: field.map_or("", |f| f.text).chars().take(40).collect(),
            span: field.map_or(self.span, |f| f.span),
        }
    }
}

/// Reads a response that is a state, whole or not at all; a list of what is possible says nothing.
pub(super) fn whole<'t>(
    reply: &Response<'t>,
    facts: &mut Facts,
    read: impl FnOnce(&mut FactWriter<'_>, &Response<'t>) -> Result<(), FieldError>,
) -> Read {
    if reply.form == Form::Test {
        return Read::Understood;
    }
    let before = facts.found().len();
    let mut writer = FactWriter::new(facts);
    let result = read(&mut writer, reply);
    if result.is_err() {
        facts.truncate(before);
    }
    result.into()
}

impl FactWriter<'_> {
    /// Reads the body of a response by the columns of its form.
    pub(super) fn row(&mut self, reply: &Response<'_>, form: &[Column]) -> Result<(), FieldError> {
        if reply.body.is_empty() {
            return Err(reply.no_form(0));
        }
        grammar::parse(reply, |input| row(self, form, input))
    }

    /// Reads one line of a response by the columns of its form; on an error nothing of the line is kept.
    pub(super) fn line(&mut self, line: BodyLine<'_>, form: &[Column]) -> Result<(), FieldError> {
        let before = self.count();
        let result =
            grammar::parse_line(line.text, line.at, line.open, |input| row(self, form, input));
        if result.is_err() {
            self.truncate(before);
        }
        result
    }

    /// Notes the value of a label, if it is of the column's type and cannot be cut; whether it was.
    pub(super) fn labelled(&mut self, column: Column, field: &Field<'_>, open: bool) -> bool {
        let before = self.count();
        // Where the text ends, nothing shows whether a value was cut; pages print decimals, too.
        let fits = self.take(column, field).is_ok()
            && !(open && (field.is_blank() || self.may_go_on(column, field, before, &DECIMAL)));
        if !fits {
            self.truncate(before);
        }
        fits
    }

    fn take(&mut self, column: Column, field: &Field<'_>) -> Result<(), &'static str> {
        match column {
            Column::Number(quantity, scale) => self.level(quantity, field, scale),
            Column::Hex(quantity) => self.hex(quantity, field),
            Column::Own(note) | Column::Phrase(note) => note(self, field),
            Column::Word(words) => words
                .iter()
                .any(|word| word.eq_ignore_ascii_case(field.text))
                .then_some(())
                .ok_or("one of the words declared"),
            Column::Figure => (field.is_blank()
                || super::fact_writer::number(field.text).is_some())
            .then_some(())
            .ok_or("a number"),
            Column::Digits => (field.is_blank() || field.hex_digits().is_some())
                .then_some(())
                .ok_or("hexadecimal digits"),
            Column::Text | Column::Optional | Column::Rest | Column::Said(_) => Ok(()),
        }
    }

    /// Whether the value, whose facts were noted after the first `before`, could be another one with a further digit.
    fn may_go_on(
        &mut self,
        column: Column,
        field: &Field<'_>,
        before: usize,
        further: &[&str],
    ) -> bool {
        if field.quoted {
            return false;
        }
        let noted = self.count();
        further.iter().any(|further| {
            let longer = format!("{}{further}", field.text);
            let fits = self.take(column, &Field { text: &longer, ..*field }).is_ok();
            let other = fits && self.count() > noted && !self.repeats(before, noted);
            self.truncate(noted);
            other
        })
    }
}

fn row<'t>(w: &mut FactWriter<'_>, form: &[Column], mut input: Input<'t>) -> Parsed<'t, ()> {
    let (mut first, mut optional) = (true, false);
    for &column in form {
        match column {
            Column::Optional => {
                optional = true;
                continue;
            }
            Column::Rest if first => return grammar::free(input).map(|(rest, _)| (rest, ())),
            Column::Rest => return grammar::remaining(input).map(|(rest, _)| (rest, ())),
            _ => {}
        }
        let start = if first { Some(input) } else { grammar::comma(input) };
        let Some(start) = start else {
            return if optional {
                Ok((input, ()))
            } else {
                grammar::fail(input, "row", "a further field")
            };
        };
        if let Column::Said(words) = column {
            let (rest, word) = grammar::word("word", words)(start)?;
            (word.value.1)(w, word.span);
            (input, first) = (rest, false);
            continue;
        }
        let (rest, field) = match column {
            Column::Phrase(_) => phrase(start)?,
            _ => field(start)?,
        };
        let before = w.count();
        if let Err(expected) = w.take(column, &field) {
            return grammar::fail(start, "row", expected);
        }
        let noted = w.count() > before;
        let cut = grammar::may_be_cut(rest) && !field.quoted && noted;
        // A comma with nothing behind it at the end of a line may have lost its value.
        let lost = noted && field.text.is_empty() && rest.fragment().is_empty();
        if lost || cut && (field.is_blank() || w.may_go_on(column, &field, before, &DIGITS)) {
            return grammar::fail(start, "row", "a value before the end of the text");
        }
        (input, first) = (rest, false);
    }
    Ok((input, ()))
}

/// A field that may be blank.
fn field(input: Input<'_>) -> Parsed<'_, Field<'_>> {
    if grammar::is_empty(input) {
        let at = grammar::place(input);
        return Ok((input, Field { text: "", quoted: false, span: Span::new(at, at) }));
    }
    let text = input.fragment().split(',').next().unwrap_or_default().trim_end();
    if !text.contains(' ') && is_masked(text) && text.len() < input.fragment().len() {
        let at = grammar::place(input);
        let span = Span::new(at, at + text.len());
        let hidden = Field { text: text.trim_matches('"'), quoted: false, span };
        return Ok((grammar::behind(input, text.len()), hidden));
    }
    let quoted = grammar::starts_quoted(input);
    let (rest, found) = grammar::any(input)?;
    Ok((rest, Field { text: found.value, quoted, span: found.span }))
}

/// A text with blanks, up to the next comma.
fn phrase(input: Input<'_>) -> Parsed<'_, Field<'_>> {
    let text = *input.fragment();
    let Some(end) = text.find(',').filter(|_| !text.starts_with('"')) else { return field(input) };
    let words = text[..end].trim_end();
    let at = grammar::place(input);
    let found = Field { text: words, quoted: false, span: Span::new(at, at + words.len()) };
    Ok((grammar::behind(input, end), found))
}
