//! The subscriber number (TS 23.003 §2.2): country, network, subscriber.

use super::digits::{IdentityError, digits};
use super::plmn::Plmn;
use crate::reference::countries::{MncLength, mnc_length};

/// How it is known how long the network code is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MncKnown {
    /// The card's AD file says so (TS 31.102 §4.2.18).
    Card,
    /// The table of three-digit networks says so for the whole country.
    Table,
    /// A guess: both lengths are in use in that country.
    Guess,
}

/// A subscriber number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imsi {
    /// Country and network.
    pub plmn: Plmn,
    /// The subscriber within the network.
    pub msin: String,
    /// How the length of the network code is known.
    pub known: MncKnown,
}

impl Imsi {
    /// Reads a subscriber number of 6 to 15 digits; `mnc_digits` is the length of the network
    /// code where the card's AD file gives it.
    ///
    /// # Errors
    ///
    /// [`IdentityError`] where the text is none.
    pub fn read(text: &str, mnc_digits: Option<u8>) -> Result<Self, IdentityError> {
        let digits = digits(text)?;
        if !(6..=15).contains(&digits.len()) {
            return Err(IdentityError(format!(
                "a subscriber number (IMSI) has up to 15 digits, nearly always 15, not {}",
                digits.len()
            )));
        }
        let (length, known) = match (mnc_digits, mnc_length(&digits[..3])) {
            (Some(n @ (2 | 3)), _) => (usize::from(n), MncKnown::Card),
            (_, MncLength::Three) => (3, MncKnown::Table),
            (_, MncLength::Two) => (2, MncKnown::Table),
            (_, MncLength::Mixed) => (2, MncKnown::Guess),
        };
        Ok(Self {
            plmn: Plmn { mcc: digits[..3].into(), mnc: digits[3..3 + length].into() },
            msin: digits[3 + length..].into(),
            known,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cards_own_word_outweighs_the_table() {
        let guess = Imsi::read("001010123456789", None).unwrap();
        assert_eq!((guess.plmn.mnc.as_str(), guess.known), ("01", MncKnown::Guess));
        let known = Imsi::read("001010123456789", Some(3)).unwrap();
        assert_eq!((known.plmn.mnc.as_str(), known.known), ("010", MncKnown::Card));
        assert!(Imsi::read("0010101234567890", None).is_err());
        assert!(Imsi::read("00101a", None).is_err());
    }
}
