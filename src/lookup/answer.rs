//! One answer: named fields with units, and the same for people.

use crate::reference::Source;
use serde_json::{Map, Value};

/// An answer to one question.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// What was asked.
    pub input: String,
    /// The kind of thing that it was taken for.
    pub kind: &'static str,
    /// One sentence.
    pub title: String,
    /// Whether what was asked is sound: assigned, well formed, check digit right.
    pub valid: bool,
    fields: Vec<(&'static str, Value)>,
    lines: Vec<(String, String)>,
    picture: Vec<String>,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{sentence}")]
pub struct Problem {
    /// What is wrong and what would be right.
    pub sentence: String,
    /// The nearest value that has an answer.
    pub nearest: Option<String>,
}

impl Problem {
    /// A problem without a nearest value.
    pub fn new(sentence: impl Into<String>) -> Self {
        Self { sentence: sentence.into(), nearest: None }
    }

    /// With the nearest value that has an answer.
    #[must_use]
    pub fn near(mut self, nearest: impl ToString) -> Self {
        self.nearest = Some(nearest.to_string());
        self
    }
}

impl Answer {
    /// An answer that says nothing yet but its title.
    pub fn new(kind: &'static str, input: impl Into<String>, title: impl Into<String>) -> Self {
        Self {
            input: input.into(),
            kind,
            title: title.into(),
            valid: true,
            fields: Vec::new(),
            lines: Vec::new(),
            picture: Vec::new(),
        }
    }

    /// Adds a named field for programs.
    #[must_use]
    pub fn field(mut self, name: &'static str, value: impl Into<Value>) -> Self {
        self.fields.push((name, value.into()));
        self
    }

    /// Adds a line for people; empty text adds none.
    #[must_use]
    pub fn line(mut self, label: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        if !text.is_empty() {
            self.lines.push((label.into(), text));
        }
        self
    }

    /// Adds a field and a line of the same content.
    #[must_use]
    pub fn both(self, name: &'static str, label: &str, text: &str) -> Self {
        if text.is_empty() {
            self.field(name, Value::Null)
        } else {
            self.field(name, text).line(label, text)
        }
    }

    /// Adds where it comes from, and how sure that is.
    #[must_use]
    pub fn source(self, source: Source) -> Self {
        let sure = if source.verified {
            "read in two independent places or more".to_owned()
        } else {
            "unverified: read in one place only, or from memory".to_owned()
        };
        let this = self
            .field("clause", source.clause)
            .field("verified", source.verified)
            .line("source", format!("{} ({sure})", source.clause));
        if source.note.is_empty() {
            this
        } else {
            this.field("note", source.note).line("note", source.note)
        }
    }

    /// Adds lines that are drawn as they are.
    #[must_use]
    pub fn picture(mut self, lines: Vec<String>) -> Self {
        self.picture = lines;
        self
    }

    /// Says that what was asked is not sound.
    #[must_use]
    pub const fn invalid(mut self) -> Self {
        self.valid = false;
        self
    }

    /// What it says beside the title: labels with their texts.
    pub fn lines(&self) -> &[(String, String)] {
        &self.lines
    }

    /// The lines that are drawn as they are.
    pub fn drawn(&self) -> &[String] {
        &self.picture
    }

    /// The answer as one object.
    pub fn json(&self) -> Value {
        let mut object = Map::new();
        object.insert("input".into(), self.input.clone().into());
        object.insert("kind".into(), self.kind.into());
        object.insert("valid".into(), self.valid.into());
        object.insert("title".into(), self.title.clone().into());
        for (name, value) in &self.fields {
            object.insert((*name).into(), value.clone());
        }
        Value::Object(object)
    }

    /// The answer for people, `width` columns wide.
    pub fn text(&self, width: usize) -> String {
        let mut out = textwrap::fill(&self.title, width);
        out.push('\n');
        let column =
            self.lines.iter().map(|(label, _)| label.chars().count()).max().unwrap_or(0) + 2;
        for (label, text) in &self.lines {
            let first = format!("  {label:column$}");
            let next = " ".repeat(column + 2);
            let shape =
                textwrap::Options::new(width).initial_indent(&first).subsequent_indent(&next);
            out.push_str(&textwrap::fill(text, shape));
            out.push('\n');
        }
        if !self.picture.is_empty() {
            out.push('\n');
        }
        for line in &self.picture {
            out.push_str(line);
            out.push('\n');
        }
        out
    }
}

/// The answer, or what would be a right question.
pub type Found = Result<Answer, Problem>;
