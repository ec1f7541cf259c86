//! `%PINGCMD`: whether packets come back; from memory.
//!
//! ```text
//! %PINGCMD: <n>,"<address>",<ms>,<ttl>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%PINGCMD"], "", "whether packets come back", &[], read);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Text,
    Column::Own(|w, f| {
        traffic::canonical(f)?;
        traffic::passed(w, true, f.span)
    }),
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"%PINGCMD: 1,"192.0.2.1",310,55"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn an_echo_has_its_time() {
        assert_eq!(of("%PINGCMD", "1,\"192.0.2.1\",310,55"), [Fact::Traffic(true)]);
    }
}
