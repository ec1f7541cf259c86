//! `+CIFSR`, `+IPADDR`: the address of the session.
//!
//! ```text
//! <address>          the answer to +CIFSR, without a prefix; from memory
//! +IPADDR: <address>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::whole;
use crate::response::sessions;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;
use std::net::IpAddr;

pub(super) static FAMILY: Family =
    family(&["+CIFSR", "+IPADDR"], "+CIFSR", "the address of the session", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines().filter(|line| !line.open) {
            let text = line.text.trim();
            let start = line.at + (line.text.len() - line.text.trim_start().len());
            let field = Field { text, quoted: false, span: Span::new(start, start + text.len()) };
            if text.parse::<IpAddr>().is_ok() {
                sessions::address(w, 1, &field).map_err(|_| reply.no_form(0))?;
            }
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+IPADDR: 192.0.2.8"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of_block;

    #[test]
    fn a_bare_address_answers_its_question() {
        let found = of_block("+CIFSR", "", &["192.0.2.8"]);
        assert_eq!(found, [Fact::Address(1, "192.0.2.8".into())]);
        assert!(of_block("+CIFSR", "", &["ERROR"]).is_empty());
    }
}
