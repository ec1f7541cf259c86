//! Responses that differ in data alone: their prefixes, the columns of each form, and examples with what they say.
//!
//! A table names for each response which form applies when; the first condition that fits chooses it. A form that did
//! not fit is never tried again as another one.

use super::columns::{Column, whole};
use super::fact_writer::FactWriter;
use super::{Form, Read, Response};
use crate::case::{Fact, Facts};
use crate::span::Span;

/// When a form applies.
#[derive(Clone, Copy, Debug)]
pub(super) enum When {
    /// Without any value: a list of nothing.
    Empty,
    /// Where no other did.
    Always,
    /// With so many fields.
    Fields(usize),
    /// With so many fields, where it came by itself or no request is seen.
    Own(usize),
    /// Under this prefix.
    Under(&'static str),
    /// Where each of these fields, counted from 0, is its word.
    Is(&'static [(usize, &'static str)]),
    /// Where this field stands in quotes.
    Quoted(usize),
    /// As the answer to a read (`?`).
    Asked,
    /// Without a request.
    Unseen,
    /// Where the request names no context: it is known by `#SGACT=1,1`, and not by `#SGACT?`.
    Unnamed,
}

/// A response, a request before it where it matters, and what it says.
#[cfg(test)]
pub(super) type Example = (&'static str, fn() -> Vec<Fact>);

/// A condition and the columns of the form that it chooses.
pub(super) type Choice = (When, &'static [Column]);

impl When {
    fn fits(self, reply: &Response<'_>) -> bool {
        let row = reply.fields();
        match self {
            Self::Empty => reply.body.is_empty() && reply.continuation.is_empty(),
            Self::Always => true,
            Self::Fields(count) => row.len() == count,
            Self::Own(count) => {
                matches!(reply.form, Form::Unsolicited | Form::Unknown) && row.len() == count
            }
            Self::Under(prefix) => reply.is(prefix),
            Self::Is(words) => {
                words.iter().all(|(n, word)| reply.text(*n).eq_ignore_ascii_case(word))
            }
            Self::Quoted(n) => row.get(n).is_some_and(|f| f.quoted),
            Self::Asked => reply.request.ends_with('?'),
            Self::Unseen => reply.form == Form::Unknown,
            Self::Unnamed => asked(reply.request).is_none(),
        }
    }

    /// Whether a text that ends inside of a response could have made it look like this one of so many columns.
    fn may_be_cut(self, longest: usize) -> bool {
        match self {
            Self::Fields(count) | Self::Own(count) => count < longest,
            Self::Is(words) => words.iter().any(|(_, word)| word.is_empty()),
            _ => false,
        }
    }
}

/// Reads a response by the form that its table chooses.
pub(super) fn by_form(reply: &Response<'_>, facts: &mut Facts, forms: &[Choice]) -> Read {
    whole(reply, facts, |w, reply| {
        w.session.0 = asked(reply.request).unwrap_or(w.session.0);
        let chosen = forms.iter().find(|(when, _)| when.fits(reply));
        let longest = forms.iter().map(|(_, form)| form.len()).max().unwrap_or_default();
        match chosen {
            Some((When::Empty, _)) if !reply.open => Ok(()),
            Some((when, form)) if !(reply.open && when.may_be_cut(longest)) => w.row(reply, form),
            _ => Err(reply.no_form(0)),
        }
    })
}

/// The context that a request names: `#SGACT=1,1`.
fn asked(request: &str) -> Option<u8> {
    let (_, values) = request.split_once('=')?;
    values.split(',').next()?.trim().parse().ok().filter(|cid| (1..=24).contains(cid))
}

/// Notes facts that stand at one place.
pub(super) fn note<const N: usize>(w: &mut FactWriter<'_>, facts: [Fact; N], at: Span) {
    for fact in facts {
        w.fact(fact, at);
    }
}

/// Declares the responses of a table: prefixes, the request that reads them (empty where they come by themselves), what
/// they are about, the quantities that they yield, a form for each condition, and examples with their facts.
macro_rules! responses {
    ($(
        [$($prefix:literal),+ $(,)?] $request:literal $about:tt $([$($quantity:ident),+])? {
            $( $when:expr => [$($column:expr),+ $(,)?] ),+ $(,)?
        }
        $( $example:literal => [$($fact:expr),*] )+
    )*) => {
        /// The families of this table.
        pub(super) const FAMILIES: &[&crate::response::Family] = &[$(
            &crate::response::declaration::vendor(
                &[$($prefix),+],
                $request,
                $about,
                &[$($(crate::case::Quantity::$quantity),+)?],
                |reply, facts| {
                    const FORMS: &[crate::response::table::Choice] = &[$(($when, &[$($column),+])),+];
                    crate::response::table::by_form(reply, facts, FORMS)
                },
            )
        ),*];

        /// Responses, a request before them where it matters, and what they say.
        #[cfg(test)]
        pub(super) static EXAMPLES: &[crate::response::table::Example] = &[
            $($( ($example, || vec![$($fact),*]), )+)*
        ];
    };
}

/// A column of a whole number: what each number says.
macro_rules! numbers {
    ($($number:pat => [$($fact:expr),*]),+ $(,)?) => {
        Column::Own(|w, f| {
            match crate::response::columns::canonical(f)? {
                $( $number => crate::response::table::note(w, [$($fact),*], f.span), )+
                _ => return Err("one of the numbers declared"),
            }
            Ok(())
        })
    };
}

/// A column of words, with or without quotes: what each word says.
macro_rules! words {
    ($($word:literal => [$($fact:expr),*]),+ $(,)?) => {
        Column::Said(&[$( ($word, |w, at| crate::response::table::note(w, [$($fact),*], at)) ),+])
    };
}

pub(super) use {numbers, responses, words};
