//! `^SCTM_B`: a level of temperature from -2 to 2 that comes by itself; from memory.

use super::cmte::LEVEL;
use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["^SCTM_B"], "", "warnings of temperature", &[], read);

const FORM: &[Column] = &[LEVEL];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SCTM_B: -2"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power};
    use crate::response::sample::{of, says};

    #[test]
    fn a_level_by_itself_warns_beyond_the_limit_alone() {
        assert!(says(&of("^SCTM_B", "-2"), &Fact::Power(Power::Temperature)));
        assert!(of("^SCTM_B", "1").is_empty());
    }
}
