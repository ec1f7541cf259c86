//! The grammar of a response's fields: readers, each of which takes one field wholly or says what is wrong with it.
//!
//! ```text
//! response = field *( "," field ) boundary
//! field    = blank* value blank*
//! ```
//!
//! A reader never tries another type when its own does not fit. What may stand behind the last field is in
//! [`boundary`](super::boundary).

mod reader;

pub(crate) use reader::{
    address_token, any, digit_before, digit_string, free, is_cut, name, number, quoted,
    short_number, starts_quoted, text, word,
};

use super::{Field, Fields, Response, boundary};
use crate::span::Span;
use compact_str::CompactString;
use nom::bytes::complete::take_while;
use nom::error::{ErrorKind, ParseError};
use nom::{Input as _, Parser};
use std::fmt;
use std::ops::Deref;

/// What is still to be read of a response.
pub(crate) type Input<'t> = nom_locate::LocatedSpan<&'t str, Origin>;

/// Where a response's text comes from.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Origin {
    /// Where it begins in the plain text.
    base: usize,
    /// Whether the text ends right behind it without a line end, so that its last value may be cut.
    open: bool,
}

/// What a reader gives: the rest and the value, or the field that did not fit.
pub(crate) type Parsed<'t, T> = nom::IResult<Input<'t>, T, FieldError>;

/// A field that is not of its type.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{response}`: {field} is {found:?}, expected {expected}")]
pub struct FieldError {
    /// The prefix of the response.
    pub response: String,
    /// The name of the field in its clause.
    pub field: &'static str,
    /// What the clause has there.
    pub expected: &'static str,
    /// What stands there, up to the next comma.
    pub found: String,
    /// Where it stands.
    pub span: Span,
}

/// So much of what does not fit is kept.
const LONGEST: usize = 40;

impl ParseError<Input<'_>> for FieldError {
    fn from_error_kind(input: Input<'_>, _: ErrorKind) -> Self {
        Self::at(input, "field", "a value")
    }

    fn append(_: Input<'_>, _: ErrorKind, other: Self) -> Self {
        other
    }
}

impl FieldError {
    /// A field that was cut out already and does not fit.
    pub(crate) fn of(field: &Field<'_>, name: &'static str, expected: &'static str) -> Self {
        Self {
            response: String::new(),
            field: name,
            expected,
            found: field.text.chars().take(LONGEST).collect(),
            span: field.span,
        }
    }

    fn at(input: Input<'_>, field: &'static str, expected: &'static str) -> Self {
        let found = input.fragment().split(',').next().unwrap_or("").trim();
        let start = place(input);
        Self {
            response: String::new(),
            field,
            expected,
            found: found.chars().take(LONGEST).collect(),
            span: Span::new(start, start + found.len()),
        }
    }
}

/// A value with the place that it was read from; a value made in code stands nowhere.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl Spanned<&str> {
    /// The text on its own, at the same place.
    #[expect(clippy::wrong_self_convention, reason = "it is mapped over references")]
    pub(crate) fn to_compact(&self) -> Spanned<CompactString> {
        Spanned { value: self.value.into(), span: self.span }
    }
}

impl<T: PartialEq> PartialEq for Spanned<T> {
    /// Two values are equal wherever they stand.
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T> From<T> for Spanned<T> {
    fn from(value: T) -> Self {
        Self { value, span: Span::default() }
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T: fmt::Display> fmt::Display for Spanned<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(f)
    }
}

/// Reads the fields of a response with its grammar, to the boundary behind the last one.
pub(crate) fn parse<'t, T>(
    reply: &Response<'t>,
    grammar: impl FnOnce(Input<'t>) -> Parsed<'t, T>,
) -> Result<T, FieldError> {
    let origin = Origin { base: reply.body_at, open: reply.open };
    parse_text(reply.body, origin, grammar)
        .map_err(|e| FieldError { response: reply.prefix.to_owned(), ..e })
}

/// Reads the values of a set command, `1,"IP","name"`, which begin at `base` in the plain text.
pub(crate) fn parse_values<'t, T>(
    values: &'t str,
    base: usize,
    grammar: impl FnOnce(Input<'t>) -> Parsed<'t, T>,
) -> Result<T, FieldError> {
    parse_text(values, Origin { base, open: false }, grammar)
}

/// Reads one line of a response, which begins at `base`; `open` where the text ends right behind it.
pub(crate) fn parse_line<'t, T>(
    text: &'t str,
    base: usize,
    open: bool,
    grammar: impl FnOnce(Input<'t>) -> Parsed<'t, T>,
) -> Result<T, FieldError> {
    parse_text(text, Origin { base, open }, grammar)
}

fn parse_text<'t, T>(
    text: &'t str,
    origin: Origin,
    grammar: impl FnOnce(Input<'t>) -> Parsed<'t, T>,
) -> Result<T, FieldError> {
    let input = skip(Input::new_extra(text, origin));
    let read = grammar(input).and_then(|(rest, value)| end(rest).map(|_| value));
    read.map_err(|e| match e {
        nom::Err::Error(e) | nom::Err::Failure(e) => e,
        nom::Err::Incomplete(_) => FieldError::at(input, "response", "a complete line"),
    })
}

/// A further field that must be there.
pub(crate) fn next<'t, T>(
    name: &'static str,
    field: impl Fn(Input<'t>) -> Parsed<'t, T>,
) -> impl Fn(Input<'t>) -> Parsed<'t, T> {
    move |input| match comma(input) {
        Some(rest) => field(rest),
        None => fail(input, name, "a further field"),
    }
}

/// A further field that may be left empty or left out, also in the middle.
pub(crate) fn optional<'t, T>(
    field: impl Fn(Input<'t>) -> Parsed<'t, T>,
) -> impl Fn(Input<'t>) -> Parsed<'t, Option<T>> {
    move |input| match comma(input) {
        None => Ok((input, None)),
        Some(rest) if is_empty(rest) => Ok((rest, None)),
        Some(rest) => field(rest).map(|(rest, value)| (rest, Some(value))),
    }
}

/// Whether the comma that comes next goes on with a sentence: a blank, a word that is no hexadecimal number, and another.
///
/// For responses of numbers alone, whose fields are no words.
pub(crate) fn is_sentence(input: Input<'_>) -> bool {
    let Some(behind) = input.fragment().strip_prefix(", ") else { return false };
    let mut words = behind.split(' ');
    let word = |w: &str| w.len() > 1 && w.chars().all(char::is_alphabetic);
    let first = words
        .next()
        .filter(|w| word(w))
        .is_some_and(|w| w.contains(|c: char| !c.is_ascii_hexdigit()));
    first && words.next().is_some_and(|w| w.starts_with(char::is_alphabetic))
}

/// Every further field, each whole and of any kind: a clause's later additions, or a vendor's.
pub(crate) fn remaining(mut input: Input<'_>) -> Parsed<'_, Fields<'_>> {
    let mut found = Fields::new();
    while let Some(rest) = comma(input) {
        let place = place(rest);
        if is_empty(rest) {
            found.push(Field { text: "", quoted: false, span: Span::new(place, place) });
            input = rest;
        } else {
            let quoted = starts_quoted(rest);
            let (behind, value) = any(rest)?;
            // Without quotes nothing shows whether a value is whole where the text ends.
            let cut = !quoted && behind.extra.open && behind.fragment().is_empty();
            let text = if cut { "" } else { value.value };
            found.push(Field { text, quoted, span: value.span });
            input = behind;
        }
    }
    Ok((input, found))
}

/// Whether a list of numbers in brackets begins here, `(0,1,2)` or `(0-4)`: what may be set.
pub(crate) fn is_range(input: Input<'_>) -> bool {
    let list = input.fragment().strip_prefix('(').and_then(|inner| inner.split_once(')'));
    let Some((list, _)) = list else { return false };
    !list.is_empty() && list.bytes().all(|b| b.is_ascii_digit() || matches!(b, b',' | b'-' | b' '))
}

/// Whether the second field is a plain number of one digit or two, when the first is one.
pub(crate) fn begins_with_two_numbers(body: &str) -> bool {
    let Some((_, behind)) = body.split_once(',') else { return false };
    let second = behind.trim_start();
    let digits = second.bytes().take_while(u8::is_ascii_digit).count();
    matches!(digits, 1 | 2) && !second[digits..].starts_with(|c: char| c.is_ascii_alphanumeric())
}

/// Nothing but a boundary.
pub(crate) fn end(input: Input<'_>) -> Parsed<'_, ()> {
    if boundary::ends(input.fragment()) || is_sentence(input) {
        Ok((input, ()))
    } else {
        fail(input, "response", "nothing more")
    }
}

/// A value that was read up to `rest`, if it ends there.
fn whole<'t, T>(
    input: Input<'t>,
    rest: Input<'t>,
    name: &'static str,
    what: &'static str,
    value: T,
) -> Parsed<'t, Spanned<T>> {
    if comma(rest).is_some() || boundary::ends(rest.fragment()) {
        Ok((rest, Spanned { value, span: Span::new(place(input), place(rest)) }))
    } else {
        fail(input, name, what)
    }
}

/// What stands behind the comma that ends a field.
pub(crate) fn comma(input: Input<'_>) -> Option<Input<'_>> {
    let rest = skip(input);
    rest.fragment().starts_with(',').then(|| skip(rest.take_from(1)))
}

/// Whether a field is left empty: the next comma, or the end of the response, or a mark for "no value".
pub(crate) fn is_empty(input: Input<'_>) -> bool {
    let text = input.fragment();
    text.is_empty()
        || text.starts_with(',')
        || !text.starts_with('-') && !starts_quoted(input) && boundary_only(text)
}

/// Whether a dressing begins where a value could: no letter, digit, quote or sign.
fn boundary_only(text: &str) -> bool {
    !text.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '+' | '(' | '<' | '\u{fffd}'))
        && boundary::ends(text)
}

/// Whether a text that was cut could have gone on where `rest` begins.
pub(crate) fn may_be_cut(rest: Input<'_>) -> bool {
    rest.extra.open && rest.fragment().is_empty()
}

/// What stands behind so many bytes.
pub(crate) fn behind(input: Input<'_>, length: usize) -> Input<'_> {
    input.take_from(length)
}

/// What stands behind blanks.
pub(crate) fn skip(input: Input<'_>) -> Input<'_> {
    let blank = |c| matches!(c, ' ' | '\t' | '\u{a0}');
    match take_while::<_, _, FieldError>(blank).parse(input) {
        Ok((rest, _)) => rest,
        Err(_) => input,
    }
}

pub(crate) fn place(input: Input<'_>) -> usize {
    input.extra.base + input.location_offset()
}

fn span_of(part: Input<'_>) -> Span {
    Span::new(place(part), place(part) + part.fragment().len())
}

fn text_between<'t>(from: Input<'t>, to: Input<'t>) -> &'t str {
    let text: &'t str = from.fragment();
    &text[..text.len() - to.fragment().len()]
}

fn failure(input: Input<'_>, name: &'static str, expected: &'static str) -> nom::Err<FieldError> {
    // Never an error that another reader could be tried on.
    nom::Err::Failure(FieldError::at(input, name, expected))
}

/// A field that does not fit.
pub(crate) fn fail<'t, T>(
    input: Input<'t>,
    name: &'static str,
    expected: &'static str,
) -> Parsed<'t, T> {
    Err(failure(input, name, expected))
}
