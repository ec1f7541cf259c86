//! The check digit of ICCID and IMEI (ISO/IEC 7812-1 annex B; TS 23.003 annex B).

/// The check digit that belongs behind these digits; `None` where they are no digits.
pub fn check_digit(digits: &str) -> Option<char> {
    let sum = sum(digits, 1)?;
    char::from_digit((10 - sum % 10) % 10, 10)
}

/// Whether the last digit is the check digit of those before it.
pub fn is_checked(digits: &str) -> bool {
    !digits.is_empty() && sum(digits, 0).is_some_and(|s| s % 10 == 0)
}

/// The remainder of a number of decimal digits by 97: 1 where its last two are the check digits of an EID (ISO/IEC
/// 7064, 97-10).
pub(crate) fn remainder_of_97(digits: &str) -> u32 {
    digits.bytes().fold(0, |rest, b| (rest * 10 + u32::from(b.wrapping_sub(b'0'))) % 97)
}

/// The sum of the digits from the right, every second one doubled, counting from `offset`.
fn sum(digits: &str, offset: usize) -> Option<u32> {
    digits
        .chars()
        .rev()
        .enumerate()
        .map(|(i, c)| {
            let d = c.to_digit(10)?;
            Some(match ((i + offset) % 2, d) {
                (0, d) => d,
                (_, d) if d > 4 => d * 2 - 9,
                (_, d) => d * 2,
            })
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_worked_number() {
        // The usual worked example of the method: 7992739871 has check digit 3.
        assert_eq!(check_digit("7992739871"), Some('3'));
        assert!(is_checked("79927398713"));
        assert!(!is_checked("79927398710"));
        assert!(!is_checked(""));
    }

    proptest! {
        #[test]
        fn a_digit_that_is_added_checks(digits in "[0-9]{1,30}") {
            let checked = format!("{digits}{}", check_digit(&digits).unwrap());
            prop_assert!(is_checked(&checked));
        }
    }
}
