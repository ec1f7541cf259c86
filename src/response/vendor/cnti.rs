//! `*CNTI`: the technology in use, in words.
//!
//! ```text
//! 0,<technology>            NONE where there is none, or in dual connectivity
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::names::note_technology;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["*CNTI"], "*CNTI=0", "technology in use", &[], read);

const FORM: &[Column] =
    &[
        Column::Word(&["0"]),
        Column::Own(|w, f| {
            if f.text.eq_ignore_ascii_case("NONE") { Ok(()) } else { note_technology(w, f) }
        }),
    ];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["*CNTI: 0,LTE"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn the_word_is_the_technology() {
        assert_eq!(of("*CNTI", "0,LTE"), [Fact::Technology(Rat::Lte)]);
        assert_eq!(of("*CNTI", "0,NONE"), []);
    }
}
