//! Addresses as TS 27.007 writes them (§10.1.14, §10.1.23): `192.0.2.7`, IPv6 as RFC 4291 or as 16 numbers with points,
//! each with or without its mask behind it.

use crate::response::grammar::{self, Input, Parsed, Spanned};
use std::net::Ipv6Addr;

/// An address field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Address {
    /// The text, as printed.
    pub text: String,
    /// Whether a network gave it: not blank, and not all zero.
    pub given: bool,
}

impl Address {
    /// The address of a text; `None` where it is none.
    pub(crate) fn of(text: &str) -> Option<Self> {
        let trimmed = text.trim();
        // A prefix length stands behind an address of version 6 alone.
        let (bare, prefix) = trimmed.split_once('/').unwrap_or((trimmed, "0"));
        let colons =
            bare.parse::<Ipv6Addr>().is_ok() && prefix.parse::<u8>().is_ok_and(|n| n <= 128);
        let bare = if colons { bare } else { trimmed };
        let parts = bare.split('.').count();
        let dotted =
            matches!(parts, 4 | 8 | 16 | 32) && bare.split('.').all(|n| n.parse::<u8>().is_ok());
        let given = bare.bytes().any(|b| b.is_ascii_hexdigit() && b != b'0') || is_masked(bare);
        (trimmed.is_empty() || dotted || colons || is_masked(bare))
            .then(|| Self { text: trimmed.to_owned(), given })
    }
}

/// Whether somebody has put a mask over an address, whole or in part: `10.x.x.x`, `192.0.2.**`.
fn is_masked(text: &str) -> bool {
    let mask = |part: &str| {
        !part.is_empty() && part.chars().all(|c| matches!(c, 'x' | 'X' | '*' | '#' | 'n'))
    };
    let mut parts = text.split('.');
    text.split('.').count() == 4
        && parts.clone().any(mask)
        && parts.all(|p| mask(p) || p.parse::<u8>().is_ok())
}

/// Reads an address with or without quotes.
pub(crate) fn address<'t>(
    name: &'static str,
) -> impl Fn(Input<'t>) -> Parsed<'t, Spanned<Address>> {
    move |input| {
        let quoted = grammar::starts_quoted(input);
        let (rest, text) = if quoted {
            grammar::quoted(name)(input)?
        } else {
            grammar::address_token(name)(input)?
        };
        let cut = !quoted && grammar::is_cut(rest);
        match Address::of(&text).filter(|_| !cut) {
            Some(value) => Ok((rest, Spanned { value, span: text.span })),
            None => grammar::fail(input, name, "an address"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Address;

    #[test]
    fn what_is_an_address_and_whether_a_network_gave_it() {
        for (text, given) in [
            ("192.0.2.7", Some(true)),
            ("192.0.2.7.255.255.255.0", Some(true)),
            ("2001:db8::7/64", Some(true)),
            ("32.1.13.184.0.0.0.0.0.0.0.0.0.0.0.7", Some(true)),
            ("10.x.x.x", Some(true)),
            ("xx.xx.xx.xx", Some(true)),
            ("0.0.0.0", Some(false)),
            ("::", Some(false)),
            ("", Some(false)),
            ("192.0.2", None),
            ("192.0.2.7/", None),
            ("192.0.2.300", None),
            ("none yet", None),
        ] {
            assert_eq!(Address::of(text).map(|a| a.given), given, "{text}");
        }
    }
}
