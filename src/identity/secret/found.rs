//! A secret that was found in a text: its place, its kind, how much of it may be seen.

use std::ops::Range;

/// So many digits at the start of a phone number may be seen: the country or the area.
pub(super) const PHONE_KEPT: usize = 3;

/// What kind of secret it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SecretKind {
    /// The number of a subscriber, a card or a device.
    Number,
    /// The contents of an identity file of the card, with the digits of each byte swapped.
    SwappedNumber,
    /// A temporary identity of the subscriber as the card holds it.
    Temporary,
    /// A phone number.
    Phone,
    /// An address of the Internet protocol.
    Address,
    /// The address of a network interface.
    Hardware,
    /// A PIN or PUK.
    Pin,
    /// A user name, a password or a key.
    Word,
}

/// A secret in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Secret {
    /// Where it stands, in bytes.
    pub range: Range<usize>,
    /// What it is.
    pub kind: SecretKind,
    /// So many bytes at its start may be seen.
    pub keep: usize,
}
