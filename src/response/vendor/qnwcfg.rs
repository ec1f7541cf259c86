//! `+QNWCFG`: network figures by key; the value is there only where its report is switched on.
//!
//! ```text
//! "lte_time_advance",<on>[,<timing advance>]
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QNWCFG"],
    "+QNWCFG=\"lte_time_advance\"",
    "timing advance",
    &[Quantity::TimingAdvance],
    read,
);

const ADVANCE: &[Column] =
    &[Column::Text, Column::Word(&["0", "1"]), Column::Optional, plain(Quantity::TimingAdvance)];
const OTHER: &[Column] = &[Column::Text, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let advance = reply.text(0).eq_ignore_ascii_case("lte_time_advance");
        w.row(reply, if advance { ADVANCE } else { OTHER })
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QNWCFG: "lte_time_advance",1,32"#];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_value_follows_its_switch() {
        let found = of("+QNWCFG", "\"lte_time_advance\",1,32");
        assert_eq!(numbers(&found, Quantity::TimingAdvance), [32.0]);
    }
}
