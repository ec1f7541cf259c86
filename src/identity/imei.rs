//! The equipment number (TS 23.003 §6.2): eight digits of the type, six of the device, one to
//! check; or, with two digits of the software version in its place, the IMEISV.

use super::check::{check_digit, is_checked};
use super::digits::{IdentityError, digits};

/// An equipment number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imei {
    /// Type allocation code, eight digits.
    pub tac: String,
    /// Serial number, six digits.
    pub serial: String,
    /// The check digit as given; `None` where it was left away.
    pub check: Option<char>,
    /// Software version, two digits, where the number is an IMEISV.
    pub software: Option<String>,
}

impl Imei {
    /// Reads 14 digits (without check digit), 15 (IMEI) or 16 (IMEISV).
    ///
    /// # Errors
    ///
    /// [`IdentityError`] where the text is none.
    pub fn read(text: &str) -> Result<Self, IdentityError> {
        let digits = digits(text)?;
        let (check, software) = match digits.len() {
            14 => (None, None),
            15 => (digits.chars().last(), None),
            16 => (None, Some(digits[14..].to_owned())),
            n => {
                return Err(IdentityError(format!(
                    "an equipment number (IMEI) has 15 digits, or 16 with the software version, not {n}"
                )));
            }
        };
        Ok(Self { tac: digits[..8].into(), serial: digits[8..14].into(), check, software })
    }

    /// The check digit that belongs to it (TS 23.003 annex B).
    pub fn wanted_check_digit(&self) -> Option<char> {
        check_digit(&format!("{}{}", self.tac, self.serial))
    }

    /// Whether the check digit, where there is one, is right.
    pub fn is_right(&self) -> bool {
        self.check.is_none_or(|c| is_checked(&format!("{}{}{c}", self.tac, self.serial)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_worked_number() {
        // The worked example of TS 23.003 annex B.3: 26 05 31 79 31 13 83 has check digit 7.
        let imei = Imei::read("26053179311383").unwrap();
        assert_eq!(imei.wanted_check_digit(), Some('7'));
        assert!(Imei::read("260531793113837").unwrap().is_right());
        assert!(!Imei::read("260531793113830").unwrap().is_right());
        assert_eq!(Imei::read("2605317931138301").unwrap().software.as_deref(), Some("01"));
    }
}
