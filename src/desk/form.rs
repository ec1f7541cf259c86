//! What the box sends, and the texts in it as one.

use super::carry::{all_back, all_carried};
use crate::explanation::Part;

/// What the box sends.
#[derive(serde::Deserialize)]
pub(super) struct Pasted {
    pub(super) token: String,
    /// The text as it was pasted.
    #[serde(default)]
    text: String,
    /// The texts as an earlier page carries them.
    #[serde(default)]
    carried: String,
    /// The customer's answer to what was asked.
    #[serde(default)]
    answer: String,
    /// What is wanted: nothing for the page, or a format.
    #[serde(default)]
    pub(super) form: String,
    /// The name of the ticket to keep the texts in.
    #[serde(default)]
    pub(super) ticket: String,
    /// The site of a new ticket.
    #[serde(default)]
    pub(super) site: String,
    /// Whether the ticket keeps the texts as they came.
    #[serde(default)]
    pub(super) original: String,
}

impl Pasted {
    /// The texts in order; empty ones count for nothing.
    pub(super) fn texts(&self) -> Vec<String> {
        let mut texts = all_back(&self.carried);
        texts.extend([self.text.clone(), self.answer.clone()]);
        texts.retain(|text| !text.trim().is_empty());
        // Browsers send every line end as CR LF.
        for text in &mut texts {
            *text = text.replace("\r\n", "\n");
        }
        texts
    }
}

/// Texts as one, and where each begins.
pub(super) fn joined(texts: &[String]) -> (String, Vec<Part>) {
    let mut joined = (String::new(), Vec::new());
    for (n, text) in texts.iter().enumerate() {
        let name = if n == 0 { "first text".into() } else { format!("answer {n}") };
        Part::join(&mut joined, name, text);
    }
    joined
}

/// The texts for a hidden field.
pub(super) fn carried(texts: &[String]) -> String {
    all_carried(texts.iter().map(String::as_str))
}
