//! What a module's own stack found out about the path: pings, names, sockets, HTTP.
//!
//! A reply of the far end, also a refusal, shows that packets come back. Numbers of errors are the vendors' own; from
//! memory where a response's file does not say otherwise.

use super::Field;
use super::columns::Column;
use super::fact_writer::{FactWriter, Taken};
use crate::case::Fact;
use crate::span::Span;

/// A result that is 0 for success; any other number is an error.
pub(super) const RESULT: Column = Column::Own(|w, f| {
    let number = canonical(f)?;
    passed(w, number == 0, f.span)
});

/// A result that is 1 for success and 0 for an error.
pub(super) const SUCCESS: Column = Column::Own(|w, f| match f.text {
    "0" | "1" => passed(w, f.text == "1", f.span),
    _ => Err("0 or 1"),
});

/// A status of HTTP (RFC 9110 §15), or an error of the module behind them.
pub(super) const HTTP_STATUS: Column = Column::Own(|w, f| match canonical(f)? {
    100..=599 => passed(w, true, f.span),
    600..=999 => passed(w, false, f.span),
    _ => Err("a status of HTTP"),
});

/// Notes whether something passed.
#[expect(clippy::unnecessary_wraps, reason = "a column is read by its type of function")]
pub(super) fn passed(w: &mut FactWriter<'_>, passed: bool, span: Span) -> Taken {
    w.fact(Fact::Traffic(passed), span);
    Ok(())
}

/// Notes whether a name was resolved, and with it whether something passed.
pub(super) fn resolved(w: &mut FactWriter<'_>, resolved: bool, span: Span) -> Taken {
    w.fact(Fact::NameResolved(resolved), span);
    passed(w, resolved, span)
}

/// A whole number without leading zeros.
pub(super) fn canonical(field: &Field<'_>) -> Result<i64, &'static str> {
    let digits = field.text.strip_prefix('-').unwrap_or(field.text);
    let padded = digits.len() > 1 && digits.starts_with('0');
    field.int().filter(|_| !padded).ok_or("a whole number")
}
