//! Readers of one field each: number, text in quotes, hexadecimal digits, word of a list, anything.

use super::{
    FieldError, Input, Parsed, Spanned, comma, fail, failure, place, span_of, text_between, whole,
};
use crate::span::Span;
use nom::bytes::complete::{tag, take_till, take_while1};
use nom::combinator::{opt, recognize};
use nom::{Input as _, Parser};
use std::ops::RangeInclusive;
use std::str::FromStr;

/// A whole number in a range.
pub(crate) fn number<'t, T: FromStr + PartialOrd + Copy>(
    name: &'static str,
    range: RangeInclusive<T>,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<T>> {
    move |input| {
        let (rest, value) = digits(input, name, &range)?;
        // A text that was cut here may have had a further digit.
        let longer = rest.fragment().is_empty()
            && input.extra.open
            && text_between(input, rest) != "0"
            && (0..=9).any(|digit| {
                format!("{}{digit}", text_between(input, rest))
                    .parse()
                    .is_ok_and(|n: T| range.contains(&n))
            });
        if longer {
            fail(input, name, "a whole number before the end of the text")
        } else {
            Ok((rest, value))
        }
    }
}

/// A whole number in a range that has one digit in nearly every response, so that it is taken at the end of a text.
pub(crate) fn short_number<'t, T: FromStr + PartialOrd + Copy>(
    name: &'static str,
    range: RangeInclusive<T>,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<T>> {
    move |input| digits(input, name, &range)
}

fn digits<'t, T: FromStr + PartialOrd + Copy>(
    input: Input<'t>,
    name: &'static str,
    range: &RangeInclusive<T>,
) -> Parsed<'t, Spanned<T>> {
    const WHAT: &str = "a whole number of its range";
    let (rest, token) = recognize((opt(tag("-")), take_while1(|c: char| c.is_ascii_digit())))
        .parse(input)
        .map_err(|_: nom::Err<FieldError>| failure(input, name, WHAT))?;
    match token.fragment().parse::<T>() {
        Ok(value) if range.contains(&value) => whole(input, rest, name, WHAT, value),
        _ => fail(input, name, WHAT),
    }
}

/// One digit and the sign behind it.
pub(crate) fn digit_before<'t>(
    name: &'static str,
    sign: char,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<u8>> {
    move |input| match input.fragment().as_bytes() {
        [digit @ b'0'..=b'9', after, ..] if char::from(*after) == sign => {
            let start = place(input);
            let value = Spanned { value: digit - b'0', span: Span::new(start, start + 1) };
            Ok((input.take_from(2), value))
        }
        _ => fail(input, name, "one digit"),
    }
}

/// A text in quotes, the quotes doubled, escaped or typographic where a program made them so; nothing else is stripped.
pub(crate) fn quoted<'t>(name: &'static str) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        const WHAT: &str = "a text in quotes";
        const PAIRS: [(&str, &str); 5] =
            [("\\\"", "\\\""), ("\"\"", "\"\""), ("\"", "\""), ("“", "”"), ("”", "”")];
        let text = *input.fragment();
        let pair = PAIRS.iter().find(|(open, close)| {
            // `""` alone is an empty text, and no doubled quote.
            text.strip_prefix(open)
                .is_some_and(|t| *open != "\"\"" || doubled(t) && t.contains(close))
        });
        let Some((open, close)) = pair else { return fail(input, name, WHAT) };
        let inner = input.take_from(open.len());
        let Some(length) = inner.fragment().find(close) else {
            return fail(input, name, "a closing quote");
        };
        let value = inner.take(length);
        if value.fragment().contains(['\n', '\r']) {
            return fail(input, name, WHAT);
        }
        let rest = inner.take_from(length + close.len());
        let (rest, _) = whole(input, rest, name, WHAT, ())?;
        Ok((rest, Spanned { value: *value.fragment(), span: span_of(value) }))
    }
}

/// Whether a quote that was doubled stands before a text, and no empty text.
fn doubled(behind: &str) -> bool {
    behind.starts_with(|c: char| c.is_alphanumeric() || c == ':')
}

/// A text with or without its quotes; without them it has no blanks, and ends at a comma or at a boundary that is no dot.
pub(crate) fn text<'t>(name: &'static str) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        if starts_quoted(input) {
            return quoted(name)(input);
        }
        let (rest, token) = token(input, name, "a text")?;
        // Without quotes nothing shows where a text ends but the comma, or the end of a complete line.
        let ends = comma(rest).is_some() || rest.fragment().trim().is_empty() && !input.extra.open;
        if ends { Ok((rest, token)) } else { fail(input, name, "a text in quotes") }
    }
}

/// A name of a network: in quotes, or without them up to a comma, blanks and all.
pub(crate) fn name<'t>(name: &'static str) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        if starts_quoted(input) {
            return quoted(name)(input);
        }
        let sign = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '.' | '-' | '_' | '&' | '\'');
        let (rest, token) = take_while1(sign)
            .parse(input)
            .map_err(|_: nom::Err<FieldError>| failure(input, name, "a name"))?;
        // Without quotes nothing but the comma shows where a name ends.
        if !rest.fragment().starts_with(',') {
            return fail(input, name, "a name in quotes");
        }
        Ok((rest, Spanned { value: token.fragment().trim_end(), span: span_of(token) }))
    }
}

/// Hexadecimal digits with or without quotes, so many of them.
pub(crate) fn hex<'t>(
    name: &'static str,
    lengths: RangeInclusive<usize>,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        const WHAT: &str = "hexadecimal digits";
        let fits = |t: &str| lengths.contains(&t.len()) && t.bytes().all(|b| b.is_ascii_hexdigit());
        let marked = starts_quoted(input);
        let (rest, found) = if marked {
            quoted(name)(input)?
        } else {
            let (rest, digits) = take_while1(|c: char| c.is_ascii_hexdigit())
                .parse(input)
                .map_err(|_: nom::Err<FieldError>| failure(input, name, WHAT))?;
            whole(input, rest, name, WHAT, *digits.fragment())?
        };
        let cut = !marked
            && input.extra.open
            && rest.fragment().is_empty()
            && found.len() < *lengths.end();
        if fits(&found) && !cut { Ok((rest, found)) } else { fail(input, name, WHAT) }
    }
}

/// One of the words that are declared, the longest that fits, with or without quotes, whatever its case; `_` and `-` count
/// as blanks.
pub(crate) fn word<'t, T: Copy>(
    name: &'static str,
    words: &'static [(&'static str, T)],
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<(&'static str, T)>> {
    move |input| {
        const WHAT: &str = "one of the words of its clause";
        let open = usize::from(input.fragment().starts_with('"'));
        let shown = input.take_from(open);
        let longest = words
            .iter()
            .filter(|(word, _)| {
                shown.fragment().get(..word.len()).is_some_and(|start| is_word(start, word))
            })
            .max_by_key(|(word, _)| word.len());
        let Some(&(word, value)) = longest else { return fail(input, name, WHAT) };
        let behind = shown.take_from(word.len());
        // A text that was cut here may have had the rest of a longer word.
        let longer = behind.fragment().is_empty()
            && input.extra.open
            && words.iter().any(|(w, _)| {
                w.get(..word.len()).is_some_and(|start| is_word(start, word)) && *w != word
            });
        if longer || open == 1 && !behind.fragment().starts_with('"') {
            return fail(input, name, WHAT);
        }
        whole(input, behind.take_from(open), name, WHAT, (word, value))
    }
}

/// Whether a text is this word, `_` and `-` as good as a blank.
fn is_word(text: &str, word: &str) -> bool {
    let same = |(a, b): (u8, u8)| {
        let blank = |c: u8| matches!(c, b' ' | b'_' | b'-');
        a.eq_ignore_ascii_case(&b) || blank(a) && blank(b)
    };
    text.len() == word.len() && text.bytes().zip(word.bytes()).all(same)
}

/// A field of any kind: a text in quotes, or letters, digits and signs without a blank.
pub(crate) fn any(input: Input<'_>) -> Parsed<'_, Spanned<&str>> {
    if starts_quoted(input) { quoted("field")(input) } else { token(input, "field", "a value") }
}

/// Whether a text in quotes begins here.
pub(crate) fn starts_quoted(input: Input<'_>) -> bool {
    input.fragment().starts_with(['"', '“', '”', '\\'])
}

fn token<'t>(
    input: Input<'t>,
    name: &'static str,
    what: &'static str,
) -> Parsed<'t, Spanned<&'t str>> {
    let hidden = is_hidden(input.fragment());
    let sign = |c: char| {
        c.is_alphanumeric()
            || matches!(c, '.' | ':' | '-' | '_' | '/')
            || hidden && matches!(c, '*' | '#' | '•')
    };
    let (rest, token) = take_while1(sign)
        .parse(input)
        .map_err(|_: nom::Err<FieldError>| failure(input, name, what))?;
    whole(input, rest, name, what, *token.fragment())
}

/// Whether somebody has hidden a value, or its end, behind three signs or more: `01B2****`.
fn is_hidden(text: &str) -> bool {
    let value = text.split([',', ' ', '"']).next().unwrap_or_default();
    ["***", "###", "•••"].iter().any(|run| value.contains(run))
}

/// A number of which every digit counts, leading zeros too, with or without quotes.
pub(crate) fn digit_string<'t>(
    name: &'static str,
    lengths: RangeInclusive<usize>,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        let (rest, found) = hex(name, lengths.clone())(input)?;
        if found.bytes().all(|b| b.is_ascii_digit()) {
            Ok((rest, found))
        } else {
            fail(input, name, "digits")
        }
    }
}

/// An address without quotes: digits, letters, points and colons up to a comma or a boundary.
pub(crate) fn address_token<'t>(
    name: &'static str,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<&'t str>> {
    move |input| {
        let sign =
            |c: char| c.is_ascii_hexdigit() || matches!(c, '.' | ':' | '/' | 'x' | 'X' | '*');
        let (rest, token) = take_while1(sign)
            .parse(input)
            .map_err(|_: nom::Err<FieldError>| failure(input, name, "an address"))?;
        // Points behind it end a sentence, or stand for characters that could not be printed.
        let length = token.fragment().trim_end_matches('.').len();
        let rest = if length < token.fragment().len() { input.take_from(length) } else { rest };
        whole(input, rest, name, "an address", *input.take(length).fragment())
    }
}

/// Whether the text ends here without a line end.
pub(crate) fn is_cut(rest: Input<'_>) -> bool {
    rest.extra.open && rest.fragment().is_empty()
}

/// The rest of the line as it stands, for texts that a clause leaves free.
pub(crate) fn free(input: Input<'_>) -> Parsed<'_, Spanned<&str>> {
    let (rest, text) = take_till(|c| c == '\n').parse(input)?;
    Ok((rest, Spanned { value: *text.fragment(), span: span_of(text) }))
}
