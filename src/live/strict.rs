//! The strict reading of a response: every field where the command's form has it, and nothing left over.
//!
//! Diagnosis reads what pastes make of a response. What a change is built on, and proved by, is what the
//! modem printed whole.

use crate::at::CommandResponse;
use crate::response::{Field, Fields, fields};

/// The value of the only line that has a prefix; `None` where there are none or several.
pub(super) fn only<'r>(response: &'r CommandResponse, prefix: &str) -> Option<&'r str> {
    let mut values = response.values(prefix);
    let first = values.next()?;
    values.next().is_none().then_some(first)
}

/// A value that is one small number with at most so many fields.
pub(super) fn small(value: &str, most: usize) -> Option<String> {
    let row = whole_fields(value)?;
    let first = row.first().filter(|f| !f.quoted && row.len() <= most)?;
    first.small().map(|n| n.to_string())
}

/// The fields of a value of which nothing is left over: a comma or a quote that was lost on the way
/// leaves a text that no list of fields gives.
pub(super) fn whole_fields(value: &str) -> Option<Fields<'_>> {
    let row = fields(value, 0);
    let written: Vec<String> = row
        .iter()
        .map(|f| if f.quoted { format!("\"{}\"", f.text) } else { f.text.to_owned() })
        .collect();
    let in_quotes = |quotes: &mut bool, c: char| {
        *quotes ^= c == '"';
        Some((*quotes, c))
    };
    let tight = value.chars().scan(false, in_quotes).filter(|(quoted, c)| *quoted || *c != ' ');
    let plain = |f: &Field<'_>| f.quoted || !f.text.contains('"');
    (row.iter().all(plain) && tight.map(|(_, c)| c).eq(written.join(",").chars())).then_some(row)
}

/// The value for a number among rows that begin with one; the outer `None` where a row has another
/// form, or where a line that may be a damaged row stands among them.
pub(super) fn one_of_rows(
    response: &CommandResponse,
    prefix: &str,
    wanted: u8,
    value: fn(&[Field<'_>]) -> Option<String>,
) -> Option<Option<String>> {
    // Codes that come by themselves have a prefix of their own; a row with a damaged one is no code.
    let damaged = |line: &String| match line.split_once(':') {
        Some((head, _)) if head == prefix => false,
        Some((head, _)) => {
            !head.starts_with(['+', '^', '*', '%', '$', '#'])
                || strsim::levenshtein(head, prefix) <= 2
        }
        None => true,
    };
    if response.lines.iter().any(damaged) {
        return None;
    }
    let mut found = None;
    for row in response.values(prefix) {
        let row = whole_fields(row)?;
        let context = row.first().filter(|f| !f.quoted)?.small()?;
        let value = value(&row[1..])?;
        if context == wanted {
            if found.is_some() {
                return None;
            }
            found = Some(value);
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::whole_fields;
    use proptest::prelude::*;

    #[test]
    fn blanks_between_fields_are_no_damage() {
        assert_eq!(whole_fields("1, 2, \"a b\"").unwrap().len(), 3);
        assert_eq!(whole_fields("0").unwrap().len(), 1);
    }

    proptest! {
        /// A row of a login or a context that lost or doubled one comma or quote.
        #[test]
        fn a_row_without_one_of_its_commas_or_quotes_is_not_the_same_row(at in 0usize..40, double: bool) {
            let row = "1,2,\"gauge\",\"rain\",\"\",0";
            let marks: Vec<usize> = row.match_indices([',', '"']).map(|(i, _)| i).collect();
            let mark = marks[at % marks.len()];
            let mut damaged = row.to_owned();
            if double { damaged.insert(mark, row.as_bytes()[mark].into()) } else { damaged.remove(mark); }
            let texts = |row: &str| whole_fields(row)
                .map(|f| f.iter().map(|f| (f.text.to_owned(), f.quoted)).collect::<Vec<_>>());
            prop_assert_ne!(texts(&damaged), texts(row), "{}", damaged);
        }
    }
}
