//! Access point names: their form (TS 23.003 §9.1) and how a stored one differs from the right one.

/// What is wrong with the form of a name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// A blank or another character that a label cannot hold.
    #[error("`{0}` is in it; labels have letters, digits and hyphens only")]
    Character(char),
    /// Two dots in a row, or one at an end.
    #[error("a label is empty: two dots in a row, or a dot at an end")]
    EmptyLabel,
    /// A label begins or ends with a hyphen.
    #[error("the label `{0}` begins or ends with a hyphen")]
    Hyphen(String),
    /// A label is too long.
    #[error("the label `{0}` is longer than 63 characters")]
    LongLabel(String),
    /// The whole is too long.
    #[error("the name is longer than 100 characters")]
    TooLong,
    /// A beginning that is reserved.
    #[error("names do not begin with `{0}`")]
    Reserved(&'static str),
    /// It ends as the operator's own part does.
    #[error("names given to a modem do not end in `.gprs`, which is added by the network")]
    OperatorEnd,
}

/// Checks the form of a network identifier (TS 23.003 §9.1.1): labels of letters, digits and
/// hyphens, at most 63 characters each and 100 in all; not beginning with `rac`, `lac`, `sgsn` or
/// `rnc`, not ending in `.gprs`.
///
/// # Errors
///
/// [`NameError`], the first thing that is wrong.
pub fn check(name: &str) -> Result<(), NameError> {
    if name.is_empty() || name == "*" {
        return Ok(());
    }
    if let Some(odd) = name.chars().find(|c| !(c.is_ascii_alphanumeric() || matches!(c, '-' | '.')))
    {
        return Err(NameError::Character(odd));
    }
    // In the coded form each label takes a byte for its length (§9.1).
    if name.len() + 1 > 100 {
        return Err(NameError::TooLong);
    }
    for label in name.split('.') {
        if label.is_empty() {
            return Err(NameError::EmptyLabel);
        }
        if label.len() > 63 {
            return Err(NameError::LongLabel(label.into()));
        }
        if label.starts_with('-') || label.ends_with('-') {
            return Err(NameError::Hyphen(label.into()));
        }
    }
    let lower = name.to_ascii_lowercase();
    if let Some(reserved) = ["rac", "lac", "sgsn", "rnc"].into_iter().find(|r| lower.starts_with(r))
    {
        return Err(NameError::Reserved(reserved));
    }
    if lower.ends_with(".gprs") || lower == "gprs" {
        return Err(NameError::OperatorEnd);
    }
    Ok(())
}

/// How a stored name differs from the right one, in words; `None` where it does not.
///
/// Letter case makes no difference to a network (§9.1: labels are compared as domain names are).
pub fn difference(stored: &str, right: &str) -> Option<String> {
    if stored.eq_ignore_ascii_case(right) {
        return None;
    }
    if stored.trim().eq_ignore_ascii_case(right) {
        return Some("a stray blank before or after the name".into());
    }
    if stored.trim().is_empty() {
        return Some("no name is stored".into());
    }
    if stored.len() == right.len() {
        let wrong: Vec<_> = stored
            .chars()
            .zip(right.chars())
            .enumerate()
            .filter(|(_, (a, b))| !a.eq_ignore_ascii_case(b))
            .collect();
        if let [(at, (found, wanted))] = wrong[..] {
            return Some(format!("letter {} is `{found}`, not `{wanted}`", at + 1));
        }
        if let [(a, (x, y)), (b, (v, w))] = wrong[..]
            && b == a + 1
            && x.eq_ignore_ascii_case(&w)
            && y.eq_ignore_ascii_case(&v)
        {
            return Some(format!("letters {} and {} are swapped", a + 1, b + 1));
        }
    }
    let same =
        stored.chars().zip(right.chars()).take_while(|(a, b)| a.eq_ignore_ascii_case(b)).count();
    let (left, wanted): (String, String) =
        (stored.chars().skip(same).collect(), right.chars().skip(same).collect());
    if left.chars().skip(1).collect::<String>().eq_ignore_ascii_case(&wanted) {
        return Some(format!("letter {} is one too many", same + 1));
    }
    if wanted.chars().skip(1).collect::<String>().eq_ignore_ascii_case(&left) {
        return Some(format!("a letter is missing at place {}", same + 1));
    }
    Some("another name".into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn names_are_held_to_the_clause() {
        for good in ["", "internet", "gauge.example", "a-b.c", "iot.1gauge"] {
            assert_eq!(check(good), Ok(()), "{good}");
        }
        assert_eq!(check("inter net"), Err(NameError::Character(' ')));
        assert_eq!(check("a..b"), Err(NameError::EmptyLabel));
        assert!(matches!(check("-a.b"), Err(NameError::Hyphen(_))));
        assert_eq!(check("sgsn.example"), Err(NameError::Reserved("sgsn")));
        assert_eq!(check("internet.mnc001.mcc001.gprs"), Err(NameError::OperatorEnd));
        assert!(matches!(check(&"a".repeat(64)), Err(NameError::LongLabel(_))));
        assert_eq!(check(&["a"; 60].join(".")), Err(NameError::TooLong));
    }

    #[test]
    fn a_difference_is_told_exactly() {
        let says = |stored| difference(stored, "gauge.example");
        assert_eq!(says("GAUGE.example"), None);
        assert_eq!(says("gauge.example ").unwrap(), "a stray blank before or after the name");
        assert_eq!(says("gauge.exanple").unwrap(), "letter 10 is `n`, not `m`");
        assert_eq!(says("gauge.exmaple").unwrap(), "letters 9 and 10 are swapped");
        assert_eq!(says("gaugee.example").unwrap(), "letter 6 is one too many");
        assert_eq!(says("gaue.example").unwrap(), "a letter is missing at place 4");
        assert_eq!(says("internet").unwrap(), "another name");
    }

    proptest! {
        #[test]
        fn a_name_differs_from_itself_in_nothing(name in "\\PC{0,40}") {
            prop_assert_eq!(difference(&name, &name), None);
            let _ = check(&name);
        }
    }
}
