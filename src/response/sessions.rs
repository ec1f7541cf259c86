//! What vendors' responses say about data sessions of the module's own: state and address of a context.

use super::Field;
use super::fact_writer::{FactWriter, Taken, hidden};
use super::standard::address::Address;
use crate::case::Fact;

/// A context number counted from `first`, as it is counted from 1.
pub(super) fn context(field: &Field<'_>, first: u8) -> Result<u8, &'static str> {
    let number =
        field.int().and_then(|n| u8::try_from(n).ok()).filter(|n| (first..=24).contains(n));
    number.map(|n| n + 1 - first.min(1)).ok_or("the number of a context")
}

/// Notes whether a context is active.
pub(super) fn active(
    w: &mut FactWriter<'_>,
    cid: u8,
    field: &Field<'_>,
    open: &[&str],
    closed: &[&str],
) -> Taken {
    let up = if open.contains(&field.text) {
        true
    } else if closed.contains(&field.text) {
        false
    } else {
        return Err("the state of a session");
    };
    w.fact(Fact::Active(cid, up), field.span);
    Ok(())
}

/// Notes the address of a context; all zeros stand for none.
pub(super) fn address(w: &mut FactWriter<'_>, cid: u8, field: &Field<'_>) -> Taken {
    if field.is_blank() {
        return Ok(());
    }
    let Some(address) = Address::of(field.text) else { return hidden(field, "an address") };
    if address.given {
        w.fact(Fact::Address(cid, address.text), field.span);
    }
    Ok(())
}
