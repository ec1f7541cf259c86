//! `error`: what a number behind `+CME ERROR` or `+CMS ERROR` means.

use super::{Answer, Problem};
use crate::reference::errors::{self, ModuleError};

/// The error of a number in one list, or in both where none is named.
///
/// # Errors
///
/// [`Problem`] where no list has the number.
pub fn error(list: Option<&str>, number: &str) -> Result<Vec<Answer>, Problem> {
    let Ok(n) = number.trim().trim_start_matches('#').parse::<u16>() else {
        return Err(Problem::new(format!("`{number}` is no error number, as in `error cme 10`")));
    };
    let wants = |word: &str| list.is_none_or(|l| l.eq_ignore_ascii_case(word));
    let mut answers = Vec::new();
    if wants("cme") {
        answers.extend(errors::cme(n).map(|e| one("cme", e)));
    }
    if wants("cms") {
        answers.extend(errors::cms(n).map(|e| one("cms", e)));
    }
    if !answers.is_empty() {
        return Ok(answers);
    }
    let name = list.map_or_else(
        || "+CME ERROR or +CMS ERROR".to_owned(),
        |l| format!("+{} ERROR", l.to_ascii_uppercase()),
    );
    let problem = Problem::new(format!(
        "{n} is not assigned as {name}; vendors use such numbers for errors of their own"
    ));
    let near = errors::nearest(list.is_some_and(|l| l.eq_ignore_ascii_case("cms")), n);
    Err(near.map_or(problem.clone(), |e| problem.near(e.number)))
}

fn one(list: &'static str, error: &ModuleError) -> Answer {
    let name = format!("+{} ERROR: {}", list.to_ascii_uppercase(), error.number);
    Answer::new(
        "error",
        format!("{list} {}", error.number),
        format!("{name} is \"{}\"", error.text),
    )
    .field("list", list)
    .field("value", error.number)
    .both("name", "text", error.text)
    .both("meaning", "meaning", if error.meaning.is_empty() { error.text } else { error.meaning })
    .both("cause", "cause", error.cause)
    .source(error.source)
}
