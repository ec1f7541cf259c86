//! Network codes: country and network, as digits and in three bytes (TS 24.008 §10.5.1.3).

use super::card::swapped;
use super::digits::{IdentityError, digits};
use crate::reference::countries::{MncLength, mnc_length};
use std::fmt;

/// A network code.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Plmn {
    /// Three digits of the country.
    pub mcc: String,
    /// Two or three digits of the network.
    pub mnc: String,
}

impl Plmn {
    /// Reads five or six digits, with or without a mark between country and network; or three
    /// bytes in hexadecimal where they hold an `F`.
    ///
    /// # Errors
    ///
    /// [`IdentityError`] where the text is neither.
    pub fn read(text: &str) -> Result<Self, IdentityError> {
        let plain = text.trim().trim_matches('"');
        if plain.len() == 6
            && plain.contains(['F', 'f'])
            && plain.bytes().all(|b| b.is_ascii_hexdigit())
        {
            let bytes: Vec<u8> = (0..6)
                .step_by(2)
                .filter_map(|i| u8::from_str_radix(&plain[i..i + 2], 16).ok())
                .collect();
            return Self::of_bytes(&bytes).ok_or_else(|| {
                IdentityError(format!("{plain} is no network code in three bytes, as 00F110 is"))
            });
        }
        let digits = digits(plain)?;
        match digits.len() {
            5 | 6 => Ok(Self { mcc: digits[..3].into(), mnc: digits[3..].into() }),
            n => Err(IdentityError(format!(
                "a network code has five or six digits, not {n}, as 00101 or 001001"
            ))),
        }
    }

    /// The code in three bytes; `None` for an empty place or other content.
    pub fn of_bytes(bytes: &[u8]) -> Option<Self> {
        let digits: Vec<char> = swapped(bytes).chars().collect();
        let [m1, m2, m3, n3, n1, n2] = digits[..] else { return None };
        let mcc: String = [m1, m2, m3].iter().collect();
        let mnc: String = [n1, n2].iter().chain((n3 != 'F').then_some(&n3)).collect();
        let fine = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
        (fine(&mcc) && fine(&mnc)).then_some(Self { mcc, mnc })
    }

    /// The three bytes as hexadecimal digits.
    pub fn hex(&self) -> String {
        let (m, n) = (self.mcc.as_bytes(), self.mnc.as_bytes());
        let third = n.get(2).copied().unwrap_or(b'F');
        [m[1], m[0], third, m[2], n[1], n[0]].iter().map(|b| char::from(*b)).collect()
    }

    /// The digits in a row.
    pub fn digits(&self) -> String {
        format!("{}{}", self.mcc, self.mnc)
    }

    /// Whether the length of the network part is one that is used in the country.
    pub fn has_usual_length(&self) -> bool {
        match mnc_length(&self.mcc) {
            MncLength::Two => self.mnc.len() == 2,
            MncLength::Three => self.mnc.len() == 3,
            MncLength::Mixed => true,
        }
    }
}

impl fmt::Display for Plmn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.mcc, self.mnc)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn three_bytes_and_digits() {
        // TS 31.102 §4.2.5, the coding of 246 81 and 246 81D as worked there.
        assert_eq!(Plmn::read("42F618").unwrap(), Plmn { mcc: "246".into(), mnc: "81".into() });
        assert_eq!(Plmn::read("001-01").unwrap().hex(), "00F110");
        assert!(Plmn::read("1234").is_err());
    }

    proptest! {
        #[test]
        fn a_code_that_is_written_reads_back(mcc in "[0-9]{3}", mnc in "[0-9]{2,3}") {
            let plmn = Plmn { mcc, mnc };
            let hex = plmn.hex();
            let bytes: Vec<u8> = (0..6).step_by(2).map(|i| u8::from_str_radix(&hex[i..i + 2], 16).unwrap()).collect();
            prop_assert_eq!(Plmn::of_bytes(&bytes), Some(plmn));
        }
    }
}
