//! `%XBANDLOCK`: the permanent lock and that of this run; where both are there, a band needs both.
//!
//! ```text
//! "<permanent>","<run time>"       zeros and ones, the rightmost being band 1; empty for no lock
//! ```

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["%XBANDLOCK"], "%XBANDLOCK?", "bands that are switched on", &[], read);

const FORM: &[Column] = &[Column::Own(mask), Column::Optional, Column::Own(mask)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let locks: Vec<_> = reply.fields().iter().filter(|f| !f.text.is_empty()).collect();
        let bands = |f: &Field<'_>| bands::binary_mask(f.text).unwrap_or_default();
        match locks.as_slice() {
            [one] if !reply.open => w.fact(Fact::EnabledBands(Rat::Lte, bands(one)), one.span),
            [first, second] => {
                let (first_on, second_on) = (bands(first), bands(second));
                let both = first_on.into_iter().filter(|b| second_on.contains(b)).collect();
                w.fact(Fact::EnabledBands(Rat::Lte, both), first.span);
            }
            _ => {}
        }
        Ok(())
    })
}

fn mask(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let fits = field.text.is_empty() || (field.quoted && bands::binary_mask(field.text).is_some());
    fits.then_some(()).ok_or("a mask of zeros and ones in quotes")
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"%XBANDLOCK: "10000001","""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, with_form};

    use crate::response::{Form, Read};

    #[test]
    fn a_binary_lock_is_read_from_the_right_and_no_lock_limits_nothing() {
        assert_eq!(
            of("%XBANDLOCK", "\"10000001\",\"\""),
            [Fact::EnabledBands(Rat::Lte, vec![1, 8])]
        );
        assert_eq!(
            with_form("%XBANDLOCK", Form::Read, "\"\",\"\"", &[]),
            (Read::Understood, vec![])
        );
    }
}
