//! Why a profile cannot be used: file, line, what is wrong, and what would be right.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

/// Why a profile cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadError {
    /// The file.
    pub file: PathBuf,
    /// Line and column, from 1; `None` where the file as a whole is meant.
    pub at: Option<(usize, usize)>,
    /// What is wrong, and what would be right.
    pub problem: String,
    /// The line itself and the place in it, for a caret below.
    pub extract: Option<(String, Range<usize>)>,
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = crate::sanitize::plain(&self.file.display().to_string()).into_owned();
        match self.at {
            Some((line, column)) => write!(f, "{file}:{line}:{column}: {}", self.problem)?,
            None => write!(f, "{file}: {}", self.problem)?,
        }
        if let (Some((text, mark)), Some((line, _))) = (&self.extract, self.at) {
            let shown = crate::sanitize::plain(text);
            let before = text.get(..mark.start).map_or(0, |t| t.chars().count());
            let carets = text.get(mark.clone()).map_or(1, |t| t.chars().count().max(1));
            let number = line.to_string();
            let gap = " ".repeat(number.len());
            write!(
                f,
                "\n {gap} |\n {number} | {shown}\n {gap} | {}{}",
                " ".repeat(before),
                "^".repeat(carets)
            )?;
        }
        Ok(())
    }
}

impl std::error::Error for LoadError {}

impl LoadError {
    /// What stands beside a verdict that was reached without the profile; the folder is the reader's own matter.
    pub fn sentence(&self) -> String {
        let file = self.file.file_name().unwrap_or_default().to_string_lossy();
        let line = self.at.map_or_else(String::new, |(line, _)| format!(", line {line}"));
        format!(
            "A carrier profile that may be this card's cannot be read ({file}{line}: {}), so nothing was held against \
             it; `mastside carrier check` shows the place.",
            self.problem.lines().next().unwrap_or_default()
        )
    }
}

/// The parser's words, with the nearest known key where one is unknown.
pub(super) fn problem(message: &str) -> String {
    let Some(rest) = message.strip_prefix("unknown field `") else {
        return message.trim().to_owned();
    };
    let Some((wrong, expected)) = rest.split_once('`') else { return message.trim().to_owned() };
    let known: Vec<&str> = expected.split('`').skip(1).step_by(2).collect();
    let far = |key: &&&str| strsim::levenshtein(key, wrong);
    let near = known.iter().min_by_key(far).filter(|key| far(key) <= 3);
    match near {
        Some(near) => format!("there is no key `{wrong}`; perhaps `{near}`"),
        None => format!("there is no key `{wrong}`; there are {}", known.join(", ")),
    }
}

/// An error at a range of a file's text.
pub(super) fn at_place(file: &Path, text: &str, range: Range<usize>, problem: String) -> LoadError {
    let start = range.start.min(text.len());
    let lines = crate::span::Lines::of(text);
    let place = lines.place(start);
    let extract = lines.line(place.line).map(|l| {
        let from = start.clamp(l.start, l.end);
        let to = range.end.clamp(from, l.end);
        (text[l.start..l.end].to_owned(), from - l.start..to - l.start)
    });
    let extract = extract.filter(|(line, _)| line.len() <= 400);
    LoadError { file: file.to_owned(), at: Some((place.line, place.column)), problem, extract }
}

/// An error of a file as a whole.
pub(super) fn whole(file: &Path, problem: impl Into<String>) -> LoadError {
    LoadError { file: file.to_owned(), at: None, problem: problem.into(), extract: None }
}
