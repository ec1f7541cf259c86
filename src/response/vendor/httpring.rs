//! `#HTTPRING`, `+SQNHTTPRING`: how a request of HTTP ended; comes by itself.
//!
//! ```text
//! <profile>,<status>,"<type>",<length>          status 0: no answer came
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#HTTPRING", "+SQNHTTPRING"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Own(|w, f| match traffic::canonical(f)? {
        0 => traffic::passed(w, false, f.span),
        100..=599 => traffic::passed(w, true, f.span),
        _ => Err("a status of HTTP"),
    }),
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"#HTTPRING: 0,200,"text/html",1024"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("#HTTPRING", "0,200,\"text/html\",1024"), [Fact::Traffic(true)]);
        assert_eq!(of("#HTTPRING", "0,0,\"\",0"), [Fact::Traffic(false)]);
    }
}
