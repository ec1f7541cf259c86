//! The card number (ITU-T E.118; TS 102 221 §13.2): up to 19 digits with a check digit at the end;
//! some issuers print 20, others leave the check digit away.

use super::check::{check_digit, is_checked};
use super::digits::{IdentityError, digits};

/// A card number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Iccid {
    /// The digits, filler and blanks taken off.
    pub digits: String,
}

impl Iccid {
    /// Reads a card number of 18 to 20 digits, also with its filler `F`.
    ///
    /// # Errors
    ///
    /// [`IdentityError`] where the text is none.
    pub fn read(text: &str) -> Result<Self, IdentityError> {
        let digits = digits(text.trim().trim_end_matches(['F', 'f']))?;
        match digits.len() {
            18..=20 => Ok(Self { digits }),
            n => Err(IdentityError(format!(
                "a card number (ICCID) has 19 or 20 digits, 18 without its check digit, not {n}"
            ))),
        }
    }

    /// Whether it begins with 89, the number of telecommunication cards.
    pub fn is_for_telecommunication(&self) -> bool {
        self.digits.starts_with("89")
    }

    /// Whether the last digit is the check digit of those before it.
    pub fn is_checked(&self) -> bool {
        is_checked(&self.digits)
    }

    /// The check digit that belongs at the end: of 18 digits behind them, else in place of the last.
    pub fn wanted_check_digit(&self) -> Option<char> {
        match self.digits.len() {
            18 => check_digit(&self.digits),
            n => check_digit(&self.digits[..n - 1]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn check_digits_are_held_against_the_rest() {
        let right = Iccid::read("8988000000000000016").unwrap();
        assert!(right.is_checked() && right.is_for_telecommunication());
        let wrong = Iccid::read("8988 0000 0000 0000 017F").unwrap();
        assert!(!wrong.is_checked());
        assert_eq!(wrong.wanted_check_digit(), Some('6'));
        assert!(Iccid::read("8988").is_err());
    }
}
