//! Numbers that name a subscriber, a card, a device or a network, and what they are made of.

mod card;
mod check;
mod digits;
mod iccid;
mod imei;
mod imsi;
mod plmn;
mod secret;

pub use card::{Decoded, decode, swapped};
pub(crate) use check::remainder_of_97;
pub use check::{check_digit, is_checked};
pub use digits::IdentityError;
pub use iccid::Iccid;
pub use imei::Imei;
pub use imsi::{Imsi, MncKnown};
pub use plmn::Plmn;
pub use secret::{Secret, SecretKind, mask, secrets};
