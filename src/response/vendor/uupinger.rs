//! `+UUPINGER`: an echo that did not come back; comes by itself. The number is the vendor's own error.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+UUPINGER"], "", "whether packets come back", &[], read);

const FORM: &[Column] =
    &[Column::Own(|w, f| traffic::passed(w, traffic::canonical(f)? == 0, f.span))];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UUPINGER: 13"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+UUPINGER", "13"), [Fact::Traffic(false)]);
    }
}
