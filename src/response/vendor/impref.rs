//! `!IMPREF`, `!GOBIIMPREF`: the preferred and the current firmware image, carrier and settings.
//!
//! ```text
//! preferred fw version:   01.00.00.00          current fw version:   01.00.00.00
//! preferred carrier name: <name>               current carrier name: <name>
//! preferred config name:  <name>               current config name:  <name>
//! fw version mismatch                          config name mismatch, carrier name mismatch
//! ```
//!
//! A mismatch goes with a radio that is held off.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::whole;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["!IMPREF", "!GOBIIMPREF"],
    "!IMPREF?",
    "firmware image and settings, and whether they fit",
    &[],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines() {
            let text = line.text.trim();
            let span = Span::new(line.at, line.at + line.text.len());
            if MISMATCHES.iter().any(|m| m.eq_ignore_ascii_case(text)) {
                w.fact(Fact::ImageMismatch, span);
            }
            let Some((label, value)) = text.split_once(':') else { continue };
            let value = value.trim();
            let current = label.trim().eq_ignore_ascii_case("current carrier name");
            // The end of a text may have cut the name.
            if current && !value.is_empty() && !line.open {
                w.fact(Fact::OperatorProfile(value.to_owned()), span);
            }
        }
        Ok(())
    })
}

const MISMATCHES: [&str; 4] = [
    "fw version mismatch",
    "carrier name mismatch",
    "config name mismatch",
    "subpri index mismatch",
];

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!IMPREF:\n preferred fw version:   02.33.03.00\n current fw version:     02.30.01.01\n current carrier name:   EMBER\n fw version mismatch",
];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of_block, says};

    #[test]
    fn a_mismatch_is_one_whatever_does_not_fit() {
        let found =
            of_block("!IMPREF", "", &[" current carrier name:   EMBER", " fw version mismatch"]);
        assert!(says(&found, &Fact::OperatorProfile("EMBER".into())));
        assert!(says(&found, &Fact::ImageMismatch));
    }
}
