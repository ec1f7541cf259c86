//! Modules by the model identifier that they print: the newest system that they have, and whose command set.

use super::table::{File, Sheet, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// The newest system that a module has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// 2G alone.
    Gsm,
    /// 3G.
    Umts,
    /// NB-IoT and no other.
    NbIot,
    /// 4G.
    Lte,
    /// 5G.
    Nr,
}

/// A module.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Model {
    /// How its identifier begins, capital letters.
    #[serde(deserialize_with = "filled")]
    pub model: &'static str,
    /// The newest system that it has.
    pub newest: System,
    /// The prefix of a response of its vendor's command set; empty where none is known.
    pub command_set: &'static str,
}

/// Every model, in the order of the table.
pub fn all() -> &'static [Model] {
    &TABLE
}

/// The model that a text names: the longest identifier that begins a word of it and ends before a digit does not.
pub fn find(text: &str) -> Option<&'static Model> {
    let text = text.to_ascii_uppercase();
    let bytes = text.as_bytes();
    let begins = |at: &usize| at.checked_sub(1).is_none_or(|b| !bytes[b].is_ascii_alphanumeric());
    let starts: Vec<usize> = (0..bytes.len()).filter(begins).collect();
    let named = |model: &&Model| {
        let name = model.model.as_bytes();
        starts.iter().any(|&at| {
            bytes[at..].starts_with(name)
                && (name.len() > 4
                    || bytes.get(at + name.len()).is_none_or(|b| !b.is_ascii_digit()))
        })
    };
    all().iter().filter(named).max_by_key(|model| model.model.len())
}

static TABLE: LazyLock<Vec<Model>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<Model>> =
    File::new("models.csv", include_str!("../../band-tables/models.csv"), read);

fn read(sheet: &Sheet<'_>) -> Result<Vec<Model>, TableError> {
    sheet.rows(|row: Model, _| Ok(row))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_identifier_is_found_at_the_start_of_a_word() {
        let newest = |text: &str| find(text).map(|m| m.newest);
        assert_eq!(newest("SIM800 R14.18"), Some(System::Gsm));
        assert_eq!(newest("vendor_SIM868"), Some(System::Gsm));
        assert_eq!(newest("EC25EFAR06A03M4G"), Some(System::Lte));
        assert_eq!(newest("SARA-U201"), Some(System::Umts));
        assert_eq!(newest("Model: RM520N-GL"), Some(System::Nr));
        assert_eq!(newest("XSIM800"), None);
        assert_eq!(newest("M1000"), None);
        assert_eq!(newest("nothing"), None);
    }

    #[test]
    fn every_identifier_stands_once_in_capital_letters() {
        let mut models: Vec<_> = all().iter().map(|m| m.model).collect();
        assert!(models.iter().all(|m| *m == m.to_ascii_uppercase()));
        let count = models.len();
        models.sort_unstable();
        models.dedup();
        assert_eq!(models.len(), count);
    }
}
