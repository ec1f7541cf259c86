//! The digits of a number as people write it, and why a text is no number.

/// Why a text is no such number: what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct IdentityError(pub String);

/// The digits of a number that people write with blanks, dashes or quotes.
pub(super) fn digits(text: &str) -> Result<String, IdentityError> {
    let plain: String =
        text.chars().filter(|c| !matches!(c, ' ' | '-' | '.' | '"' | '/')).collect();
    match plain.chars().find(|c| !c.is_ascii_digit()) {
        Some(odd) => Err(IdentityError(format!("`{odd}` is no digit; write digits only"))),
        None => Ok(plain),
    }
}
