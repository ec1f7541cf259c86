//! `+CIPOPEN`: whether a socket was opened; comes by itself.
//!
//! ```text
//! <id>,<0, or an error>          a read has more fields, and says nothing of the path
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::RESULT;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CIPOPEN"], "", "whether a socket was opened", &[], read);

const FORM: &[Column] = &[Column::Figure, RESULT];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CIPOPEN: 0,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+CIPOPEN", "0,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+CIPOPEN", "0,12"), [Fact::Traffic(false)]);
    }
}
