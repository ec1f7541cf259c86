//! Band masks as modems print them: bit n-1 is band n.

/// A number of bands as bits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mask {
    /// The bands, in order.
    pub bands: Vec<u16>,
}

/// Why a text is no mask.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MaskError {
    /// Not hexadecimal.
    #[error(
        "`{0}` is no mask: hexadecimal digits are wanted, as in 0x80005 or 80005, or a list of bands as in 1,3,20"
    )]
    NotHex(String),
    /// More bits than any band list has.
    #[error("a mask of more than 256 bits is none that a modem prints")]
    TooLong,
}

impl Mask {
    /// The bands of a mask in one word: `0x80005`, `80005`.
    ///
    /// # Errors
    ///
    /// [`MaskError`] where the text is no mask.
    pub fn read(text: &str) -> Result<Self, MaskError> {
        Self::from_words(&[text])
    }

    /// The bands of a mask in two 64-bit words, the lower bands first.
    ///
    /// # Errors
    ///
    /// [`MaskError`] where a word is no mask.
    pub fn from_words(words: &[&str]) -> Result<Self, MaskError> {
        let mut bands = Vec::new();
        for (word, base) in words.iter().zip((0u16..).step_by(64)) {
            let digits = word.trim();
            let digits =
                digits.strip_prefix("0x").or_else(|| digits.strip_prefix("0X")).unwrap_or(digits);
            if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
                return Err(MaskError::NotHex((*word).to_owned()));
            }
            if digits.len() > 64 {
                return Err(MaskError::TooLong);
            }
            for (nibble, digit) in digits.bytes().rev().enumerate() {
                let value = char::from(digit).to_digit(16).unwrap_or(0);
                let low = u16::try_from(nibble * 4).map_err(|_| MaskError::TooLong)?;
                bands.extend(
                    (0..4u16).filter(|bit| value >> bit & 1 == 1).map(|bit| base + low + bit + 1),
                );
            }
        }
        bands.sort_unstable();
        bands.dedup();
        Ok(Self { bands })
    }

    /// The bands of a mask that is printed in decimal.
    pub fn from_decimal(number: u128) -> Self {
        Self {
            bands: (0..128u16).filter(|bit| number >> bit & 1 == 1).map(|bit| bit + 1).collect(),
        }
    }

    /// The mask of some bands, as hexadecimal digits without prefix.
    pub fn hex(&self) -> String {
        let top = self.bands.iter().max().map_or(0, |b| (usize::from(*b) - 1) / 4);
        (0..=top)
            .rev()
            .map(|nibble| {
                let value = (0..4)
                    .filter(|bit| {
                        self.bands.iter().any(|b| usize::from(*b) == nibble * 4 + bit + 1)
                    })
                    .map(|bit| 1u32 << bit)
                    .sum();
                char::from_digit(value, 16).unwrap_or('0').to_ascii_uppercase()
            })
            .collect()
    }

    /// The two 64-bit words, lower bands first, as hexadecimal digits.
    pub fn words(&self) -> [String; 2] {
        let part = |from: u16| {
            Self {
                bands: self
                    .bands
                    .iter()
                    .filter(|b| **b > from && **b <= from + 64)
                    .map(|b| b - from)
                    .collect(),
            }
            .hex()
        };
        [part(0), part(64)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn masks_as_modems_print_them() {
        assert_eq!(Mask::read("0x80005").unwrap().bands, [1, 3, 20]);
        assert_eq!(Mask::read("80005").unwrap().bands, [1, 3, 20]);
        assert_eq!(Mask::from_decimal(524_293).bands, [1, 3, 20]);
        assert_eq!(Mask::from_words(&["0", "2"]).unwrap().bands, [66]);
        assert_eq!(Mask::read("20000000000000000").unwrap().bands, [66]);
        assert!(Mask::read("wxyz").is_err());
    }

    proptest! {
        #[test]
        fn a_mask_that_is_written_reads_back(bands in proptest::collection::btree_set(1u16..=128, 1..20)) {
            let mask = Mask { bands: bands.into_iter().collect() };
            prop_assert_eq!(&Mask::read(&mask.hex()).unwrap(), &mask);
            let [low, high] = mask.words();
            prop_assert_eq!(&Mask::from_words(&[&low, &high]).unwrap(), &mask);
        }
    }
}
