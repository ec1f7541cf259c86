//! `^CHIPTEMP`: tenths of a degree, a field for each sensor; 65535 for one that is not there. The highest counts.

use super::family;
use super::qtemp::highest;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^CHIPTEMP"], "^CHIPTEMP?", "module temperature", &[Quantity::Temperature], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let form = vec![Column::Figure; reply.fields().len()];
        w.row(reply, &form)?;
        // The end of a text may have cut the last one.
        if !reply.open {
            highest(w, reply.fields(), 10.0);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^CHIPTEMP: 431,425,65535,35,65535"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn tenths_of_the_hottest_sensor() {
        assert_eq!(numbers(&of("^CHIPTEMP", "431,425,65535,35"), Quantity::Temperature), [43.1]);
    }
}
