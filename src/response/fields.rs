//! The fields of one reply line: what stands after the colon, cut at the commas.
//!
//! Grammar (TS 27.007 §4, V.250 §5.7, and what pastes make of it):
//!
//! ```text
//! fields  = field *( "," field )
//! field   = blank* ( quoted | bracketed | plain ) blank*
//! quoted  = quote *any quote          a missing closing quote ends with the line
//! bracketed = "(" *any ")"            nested brackets are kept together
//! ```

use crate::span::Span;
use nom::{
    IResult, Parser,
    branch::alt,
    bytes::complete::{tag, take_till, take_while},
    combinator::{opt, recognize},
    sequence::preceded,
};
use smallvec::SmallVec;

/// One field: its text without quotes and outer blanks, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field<'t> {
    /// The text between the commas, without the quotes.
    pub text: &'t str,
    /// Whether quotes stood around it.
    pub quoted: bool,
    /// Where the text stands, in the same coordinates as the line it was cut from.
    pub span: Span,
}

impl<'t> Field<'t> {
    /// The field as a whole number; `None` where it is not one.
    pub fn int(self) -> Option<i64> {
        let digits = self.text.strip_prefix('+').unwrap_or(self.text);
        digits.parse().ok()
    }

    /// The field as a small count; `None` where it is not one.
    pub fn small(self) -> Option<u8> {
        // Nearly every number of a reply has one digit to three.
        match *self.text.as_bytes() {
            [one @ b'0'..=b'9'] => Some(one - b'0'),
            [ten @ b'0'..=b'9', one @ b'0'..=b'9'] => Some((ten - b'0') * 10 + (one - b'0')),
            [b'2', b'5', b'5'] => Some(u8::MAX),
            _ => self.text.parse().ok(),
        }
    }

    /// The field as a number with or without a decimal part.
    pub fn decimal(self) -> Option<f64> {
        let first = *self.text.as_bytes().first()?;
        if !(first.is_ascii_digit() || matches!(first, b'-' | b'+' | b'.')) {
            return None;
        }
        self.text.parse().ok().filter(|v: &f64| v.is_finite())
    }

    /// The field as hexadecimal digits, `0x` and a closing `h` left aside.
    pub fn hex(self) -> Option<u64> {
        u64::from_str_radix(self.hex_digits()?, 16).ok()
    }

    /// The hexadecimal digits themselves, for codes whose leading zeros count.
    pub fn hex_digits(self) -> Option<&'t str> {
        let text = self.text.as_bytes();
        let start = if matches!(text, [b'0', b'x' | b'X', ..]) { 2 } else { 0 };
        let mark = text.len() > start && matches!(text, [.., b'h' | b'H']);
        let end = text.len() - usize::from(mark);
        let digits = &text[start..end];
        (matches!(digits.len(), 1..=16) && digits.iter().all(u8::is_ascii_hexdigit))
            .then(|| &self.text[start..end])
    }

    /// Whether nothing stands there, or a mark that says "no value".
    pub fn is_blank(self) -> bool {
        matches!(self.text, "" | "-" | "--" | "---")
    }
}

/// The fields of one line; most have no more than these.
pub type Fields<'t> = SmallVec<[Field<'t>; 10]>;

/// Cuts a line into its fields; `base` is where `line` begins.
pub fn fields(line: &str, base: usize) -> Fields<'_> {
    let mut found = Fields::new();
    fields_into(line, base, &mut found);
    found
}

/// The same, into a list that is used again and again.
pub(crate) fn fields_into<'t>(line: &'t str, base: usize, found: &mut Fields<'t>) {
    found.clear();
    let bytes = line.as_bytes();
    let mut at = 0;
    loop {
        let place = plainly(bytes, at).unwrap_or_else(|| by_grammar(line, at));
        found.push(Field {
            text: &line[place.start..place.end],
            quoted: place.quoted,
            span: Span::new(base + place.start, base + place.end),
        });
        if bytes.get(place.behind) != Some(&b',') {
            return;
        }
        at = place.behind + 1;
    }
}

/// Where a field stands in its line.
#[derive(Debug, PartialEq, Eq)]
struct Place {
    /// Where its text begins and ends, quotes left out.
    start: usize,
    end: usize,
    quoted: bool,
    /// Behind the field, where a comma stands or nothing more.
    behind: usize,
}

/// A field that is simple, or quoted and nothing else; `None` for one that needs the grammar.
#[inline]
fn plainly(bytes: &[u8], at: usize) -> Option<Place> {
    // The fields are a few bytes long: plain loops are over before a search has begun.
    let rest = bytes.get(at..)?;
    let simple = rest.iter().position(|&b| !is_simple(b)).unwrap_or(rest.len());
    match rest.get(simple) {
        None | Some(b',') => {
            let end = at + simple;
            return Some(Place { start: at, end, quoted: false, behind: end });
        }
        Some(b'"') if simple == 0 => {}
        Some(_) => return None,
    }
    let start = at + 1;
    let end = start + rest[1..].iter().position(|&b| b == b'"')?;
    matches!(bytes.get(end + 1), None | Some(b',')).then_some(Place {
        start,
        end,
        quoted: true,
        behind: end + 1,
    })
}

/// Whether a simple field may hold a byte.
fn is_simple(b: u8) -> bool {
    b.is_ascii_alphanumeric() || matches!(b, b'-' | b'.')
}

/// Any field, which is seldom needed; one that the grammar did not take would be the rest of the line.
#[cold]
fn by_grammar(line: &str, at: usize) -> Place {
    let (after, (text, quoted)) = field(&line[at..]).unwrap_or(("", (&line[at..], false)));
    let start = text.as_ptr() as usize - line.as_ptr() as usize;
    Place { start, end: start + text.len(), quoted, behind: line.len() - after.len() }
}

fn field(input: &str) -> IResult<&str, (&str, bool)> {
    preceded(take_while(is_blank), alt((quoted, bracketed, plain))).parse(input)
}

fn quoted(input: &str) -> IResult<&str, (&str, bool)> {
    let (rest, _) = tag("\"").parse(input)?;
    // `""name""`: quotes that a table's row has doubled (RFC 4180 §2.7).
    if let Some(doubled) = rest.strip_prefix('"')
        && doubled.starts_with(|c: char| c.is_alphanumeric() || c == ':')
        && let Some(end) = doubled.find("\"\"")
    {
        let (rest, _) = take_till(|c| c == ',').parse(&doubled[end + 2..])?;
        return Ok((rest, (&doubled[..end], true)));
    }
    let (rest, inner) = take_till(|c| c == '"').parse(rest)?;
    let (rest, _) = opt(tag("\"")).parse(rest)?;
    // A stray text between the closing quote and the comma belongs to nobody.
    let (rest, _) = take_till(|c| c == ',').parse(rest)?;
    Ok((rest, (inner, true)))
}

fn bracketed(input: &str) -> IResult<&str, (&str, bool)> {
    recognize(tag("(")).parse(input)?;
    let mut depth = 0usize;
    let mut in_quotes = false;
    let mut end = input.len();
    for (at, b) in input.bytes().enumerate() {
        match b {
            b'"' => in_quotes = !in_quotes,
            b'(' if !in_quotes => depth += 1,
            b')' if !in_quotes => depth = depth.saturating_sub(1),
            b',' if depth == 0 && !in_quotes => {
                end = at;
                break;
            }
            _ => {}
        }
    }
    Ok((&input[end..], (input[..end].trim_end(), false)))
}

fn plain(input: &str) -> IResult<&str, (&str, bool)> {
    let (rest, text) = take_till(|c| c == ',').parse(input)?;
    Ok((rest, (text.trim_end_matches(is_blank), false)))
}

fn is_blank(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\u{a0}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn texts(line: &str) -> Vec<&str> {
        fields(line, 0).iter().map(|f| f.text).collect()
    }

    #[test]
    fn quotes_that_a_row_has_doubled_are_one() {
        let texts: Vec<_> =
            fields("1,\"\"gauge.example\"\",\"\",7", 0).iter().map(|f| f.text).collect();
        assert_eq!(texts, ["1", "gauge.example", "", "7"]);
    }

    #[test]
    fn commas_inside_quotes_and_brackets_do_not_cut() {
        assert_eq!(texts(r#" 1,"a,b" ,(2,"x,y",(3)), 4 "#), ["1", "a,b", r#"(2,"x,y",(3))"#, "4"]);
    }

    #[test]
    fn an_empty_field_is_a_field() {
        assert_eq!(texts("0,,"), ["0", "", ""]);
        assert_eq!(texts(""), [""]);
    }

    proptest! {
        #[test]
        fn what_is_plain_is_what_the_grammar_reads(text in "[\"]{0,2}[a-z0-9 .(:-]{0,4}[\"]{0,2}[,]?[\"a1]{0,2}") {
            if let Some(place) = plainly(text.as_bytes(), 0) {
                prop_assert_eq!(place, by_grammar(&text, 0));
            }
        }
    }

    #[test]
    fn a_span_points_at_the_text_without_its_quotes() {
        let line = r#"1, "net.example""#;
        let field = fields(line, 0)[1];
        assert_eq!(field.span.of(line), "net.example");
        assert!(field.quoted);
    }

    proptest! {
        #[test]
        fn every_span_holds_its_text(line in ".{0,80}") {
            for field in fields(&line, 0) {
                prop_assert_eq!(field.span.of(&line), field.text);
            }
        }
    }
}
