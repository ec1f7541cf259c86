//! Numbers that name a subscriber, a card, a device or a network, and what they are made of.

mod card;
mod check;
mod iccid;
mod imei;
mod imsi;
mod plmn;
mod secret;

pub use card::{Decoded, decode, swapped};
pub use check::{check_digit, is_checked};
pub use iccid::Iccid;
pub use imei::Imei;
pub use imsi::{Imsi, MncKnown};
pub use plmn::Plmn;
pub use secret::{Secret, SecretKind, mask, secrets};

/// Why a text is no such number: what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct IdentityError(pub String);

/// The digits of a number that people write with blanks, dashes or quotes.
fn digits(text: &str) -> Result<String, IdentityError> {
    let plain: String =
        text.chars().filter(|c| !matches!(c, ' ' | '-' | '.' | '"' | '/')).collect();
    match plain.chars().find(|c| !c.is_ascii_digit()) {
        Some(odd) => Err(IdentityError(format!("`{odd}` is no digit; write digits only"))),
        None => Ok(plain),
    }
}
