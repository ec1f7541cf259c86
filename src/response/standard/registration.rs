//! `+CREG`, `+CGREG`, `+CEREG`, `+C5GREG`: registration states, with place, technology and cause.
//!
//! TS 27.007 §7.2, §10.1.20, §10.1.22, §10.1.47. The read form begins with the report mode, the
//! unsolicited form with the state:
//!
//! ```text
//! read        = <n> "," status
//! unsolicited = status
//! test        = "(" …                           no state
//! status      = <stat>[,[<area>],[<cell>],[<AcT>][,…][,<cause_type>,<reject_cause>][,…]]
//! ```
//!
//! `<n>` and `<stat>` are numbers of one digit or two; area and cell have quotes, or four hexadecimal digits at least. So
//! a line whose second field is a short number is the read form, and no other is.

use crate::case::{self, Cell, Domain, Fact, Facts, Quantity, Registration, Reject, Sim};
use crate::reference::causes::CauseList;
use crate::response::grammar::{self, Input, Parsed, Spanned};
use crate::response::{Family, Field, FieldError, Fields, Form, Read, Response};
use compact_str::CompactString;
use std::fmt;

const YIELDS: &[Quantity] = &[
    Quantity::RegistrationStat,
    Quantity::TacHex,
    Quantity::CellId,
    Quantity::Act,
    Quantity::RejectCause,
];

pub(crate) static CIRCUIT: Family = family(&["+CREG", "CREG"], "+CREG?", "TS 27.007 §7.2");
pub(crate) static PACKET: Family = family(&["+CGREG", "CGREG"], "+CGREG?", "TS 27.007 §10.1.20");
pub(crate) static EPS: Family = family(&["+CEREG", "CEREG"], "+CEREG?", "TS 27.007 §10.1.22");
pub(crate) static FIVE_G: Family = family(&["+C5GREG", "C5GREG"], "+C5GREG?", "TS 27.007 §10.1.47");

const fn family(
    prefixes: &'static [&'static str],
    request: &'static str,
    source: &'static str,
) -> Family {
    Family { prefixes, request, source, about: "registration state", yields: YIELDS, read }
}

fn domain(prefix: &str) -> Domain {
    // The second letter of the name tells.
    match prefix.strip_prefix('+').unwrap_or(prefix).as_bytes() {
        [_, b'G' | b'g', ..] => Domain::Packet,
        [_, b'E' | b'e', ..] => Domain::Eps,
        [_, b'5', ..] => Domain::FiveG,
        _ => Domain::Circuit,
    }
}

/// One registration response.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RegistrationResponse {
    /// The domain, which the prefix names.
    pub domain: Domain,
    /// The report mode `<n>`, in the read form alone.
    pub mode: Option<Spanned<u8>>,
    /// The state; those beyond the clause stay numbers.
    pub stat: Spanned<u8>,
    /// Location or tracking area code, hexadecimal.
    pub area: Option<Spanned<CompactString>>,
    /// Cell identity, hexadecimal.
    pub cell: Option<Spanned<CompactString>>,
    /// Access technology.
    pub act: Option<Spanned<u8>>,
    /// `<cause_type>` 0: the network's reject cause. A vendor's own cause (type 1) is left out.
    pub cause: Option<Spanned<u8>>,
}

impl RegistrationResponse {
    /// Reads a response, in the form that its request or its first fields tell.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        let domain = domain(reply.prefix);
        let read = reply.form == Form::Read
            || dotted(reply.body)
            || grammar::begins_with_two_numbers(reply.body);
        let form = |input| {
            if read { read_form(domain, input) } else { status(domain, None, input) }
        };
        let status = grammar::parse(reply, form)?;
        // One number alone is the unsolicited form, unless the line may have gone on.
        let lost = reply.open
            || reply.continuation.first().is_some_and(|l| l.text.trim_start().starts_with(','));
        if lost && status.mode.is_none() && status.is_bare() {
            return Err(FieldError {
                response: reply.prefix.to_owned(),
                field: "stat",
                expected: "a complete line",
                found: reply.body.to_owned(),
                span: reply.span,
            });
        }
        Ok(status)
    }

    /// Whether the state has nothing behind it.
    fn is_bare(&self) -> bool {
        self.area.is_none() && self.cell.is_none() && self.act.is_none() && self.cause.is_none()
    }
}

/// Whether mode and state stand with a point between, `0.3`, as some people write what they saw.
fn dotted(body: &str) -> bool {
    matches!(body.as_bytes(), [b'0'..=b'5', b'.', b'0'..=b'9', ..])
}

fn read_form(domain: Domain, input: Input<'_>) -> Parsed<'_, RegistrationResponse> {
    let (input, mode) = if dotted(input.fragment()) {
        grammar::digit_before("n", '.')(input)?
    } else {
        let (input, mode) = grammar::number("n", 0..=5)(input)?;
        let (input, ()) = grammar::next("stat", |input| Ok((input, ())))(input)?;
        (input, mode)
    };
    status(domain, Some(mode), input)
}

/// What follows the report mode.
fn status(
    domain: Domain,
    mode: Option<Spanned<u8>>,
    input: Input<'_>,
) -> Parsed<'_, RegistrationResponse> {
    let (input, stat) = grammar::short_number("stat", 0..=99)(input)?;
    let (rest, fields) = if grammar::is_sentence(input) {
        (input, Fields::new())
    } else {
        grammar::remaining(input)?
    };
    // A comma with nothing behind it may part the report mode from a state that was lost.
    if let ([field], None) = (&*fields, mode)
        && field.is_blank()
    {
        return Err(nom::Err::Failure(FieldError::of(field, "area", "a further field")));
    }
    let mut status =
        RegistrationResponse { domain, mode, stat, area: None, cell: None, act: None, cause: None };
    place_and_cause(&mut status, &fields).map_err(nom::Err::Failure)?;
    Ok((rest, status))
}

/// The fields behind the state: the place, the technology, and the cause behind what the clause of the domain has between.
fn place_and_cause(
    status: &mut RegistrationResponse,
    fields: &[Field<'_>],
) -> Result<(), FieldError> {
    // Some modems leave out the place: cause type and cause alone.
    if let [kind, cause] = fields
        && !kind.quoted
        && kind.text.len() == 1
    {
        return self::cause(status, kind, cause);
    }
    let mut fields = fields.iter();
    let area = fields.next();
    let mut cell = fields.next();
    // Some vendors print a second code in quotes between area and cell; `<AcT>` never has quotes.
    if let Some(quoted) = fields.as_slice().first().filter(|f| f.quoted) {
        cell = Some(quoted);
        fields.next();
    }
    status.area = code("area", area, 6)?;
    // The cell of NR has five bytes (TS 27.007 §10.1.47).
    status.cell = code("cell", cell, 10)?;
    status.act = fields.next().map_or(Ok(None), |f| small("AcT", f, 20))?;
    let mut rest = fields.as_slice();
    // Some vendors print one more empty field before the cause.
    if let [empty, kind, cause, ..] = rest
        && empty.text.is_empty()
        && !kind.is_blank()
        && !kind.quoted
        && !cause.is_blank()
        && !cause.quoted
    {
        rest = &rest[1..];
    }
    let between = match (status.domain, rest) {
        // The allowed slices in quotes with their length before them.
        (Domain::FiveG, [_, slices, ..]) if slices.quoted || slices.text.is_empty() => 2,
        // The routing area code in quotes.
        (Domain::Packet, [routing, ..])
            if routing.quoted || (routing.text.is_empty() && rest.len() > 2) =>
        {
            1
        }
        _ => 0,
    };
    match rest.get(between..) {
        Some([kind, cause, ..]) => self::cause(status, kind, cause),
        _ => Ok(()),
    }
}

/// Hexadecimal digits of an area or a cell; without quotes four at least.
fn code(
    name: &'static str,
    field: Option<&Field<'_>>,
    longest: usize,
) -> Result<Option<Spanned<CompactString>>, FieldError> {
    let Some(field) = field.filter(|f| !f.is_blank() && !is_masked(f.text)) else {
        return Ok(None);
    };
    let shortest = if field.quoted { 1 } else { 4 };
    match field.hex_digits() {
        Some(digits) if (shortest..=longest).contains(&digits.len()) => {
            let mut value = CompactString::new(digits);
            value.make_ascii_uppercase();
            Ok(Some(Spanned { value, span: field.span }))
        }
        _ => Err(FieldError::of(field, name, "hexadecimal digits")),
    }
}

/// Whether somebody has put a mask over the digits, or over some of them: `XXXX`, `01B2****`.
fn is_masked(text: &str) -> bool {
    let mask = |c: char| matches!(c, 'X' | 'x' | '*' | '#' | '?' | '_' | '•');
    let hidden = text.chars().filter(|c| mask(*c)).count();
    (hidden > 1 || hidden == 1 && text.len() > 2)
        && text.chars().all(|c| mask(c) || c.is_ascii_hexdigit())
}

fn small(
    name: &'static str,
    field: &Field<'_>,
    highest: u8,
) -> Result<Option<Spanned<u8>>, FieldError> {
    if field.is_blank() {
        return Ok(None);
    }
    match field.small().filter(|n| *n <= highest && !field.quoted) {
        Some(value) => Ok(Some(Spanned { value, span: field.span })),
        None => Err(FieldError::of(field, name, "a whole number of its range")),
    }
}

fn cause(
    status: &mut RegistrationResponse,
    kind: &Field<'_>,
    cause: &Field<'_>,
) -> Result<(), FieldError> {
    // Times of power saving (`"00100100"`) where a clause has the cause before them: no cause was given.
    if kind.quoted || cause.quoted {
        return Ok(());
    }
    let kind = small("cause_type", kind, 1)?;
    let given = small("reject_cause", cause, u8::MAX)?;
    if kind.is_some_and(|k| *k == 0) {
        status.cause = given;
    }
    Ok(())
}

impl fmt::Display for RegistrationResponse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: ", self.domain.command())?;
        if let Some(mode) = self.mode {
            write!(f, "{mode},")?;
        }
        write!(f, "{}", self.stat)?;
        if self.area.is_none() && self.cell.is_none() && self.act.is_none() && self.cause.is_none()
        {
            return Ok(());
        }
        for code in [&self.area, &self.cell] {
            f.write_str(",")?;
            if let Some(code) = code {
                write!(f, "\"{code}\"")?;
            }
        }
        f.write_str(",")?;
        if let Some(act) = self.act {
            write!(f, "{act}")?;
        }
        if let Some(cause) = self.cause {
            let between = match self.domain {
                Domain::FiveG => ",,",
                Domain::Packet => ",",
                Domain::Circuit | Domain::Eps => "",
            };
            write!(f, "{between},0,{cause}")?;
        }
        Ok(())
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    RegistrationResponse::parse(reply).map(|status| note(&status, reply, facts)).into()
}

/// Notes what a response says.
fn note(status: &RegistrationResponse, reply: &Response<'_>, facts: &mut Facts) {
    let span = reply.span;
    facts.push(
        Fact::Registration(Registration {
            domain: status.domain,
            stat: *status.stat,
            act: status.act.map(|a| *a),
            unsolicited: status.mode.is_none(),
        }),
        span,
    );
    facts.number(
        Quantity::RegistrationStat,
        f64::from(*status.stat),
        Cell::Serving,
        status.stat.span,
    );
    if *status.stat == 90 {
        // One vendor's own number for a card that failed.
        facts.push(Fact::Sim(Sim::Failure), span);
    }
    place(status, facts);
    if let Some(act) = status.act {
        facts.number(Quantity::Act, f64::from(*act), Cell::Serving, span);
    }
    if let Some(cause) = status.cause.filter(|c| **c > 0) {
        let kind = match status.domain {
            Domain::Circuit => CauseList::Mm,
            Domain::Packet => CauseList::Gmm,
            Domain::Eps => CauseList::Emm,
            Domain::FiveG => CauseList::FiveGmm,
        };
        let registered =
            case::RegistrationStatus::of(*status.stat) == case::RegistrationStatus::Registered;
        let reject = Reject { kind, cause: *cause, history: registered };
        facts.push(Fact::Reject(reject), cause.span);
        facts.number(Quantity::RejectCause, f64::from(*cause), Cell::Serving, cause.span);
    }
}

/// Area and cell; all-F and zero codes say "not known".
fn place(status: &RegistrationResponse, facts: &mut Facts) {
    let known = |digits: &str| {
        !digits.bytes().all(|b| b == b'F') && !digits.bytes().all(|b| b == b'0') && digits != "FFFE"
    };
    let (Some(area), Some(cell)) = (&status.area, &status.cell) else { return };
    if known(area) && known(cell) && cell.len() >= 3 {
        facts.push(Fact::word(Quantity::TacHex, area.value.clone(), Cell::Serving), area.span);
        if let Ok(id) = u64::from_str_radix(cell, 16) {
            facts.number(Quantity::CellId, id as f64, Cell::Serving, cell.span);
        }
    }
}

#[cfg(test)]
mod tests;
