//! `+CNTP`, `+QNTP`: whether a server of time answered; come by themselves.
//!
//! ```text
//! +CNTP: 1[,"<time>"]          61 to 65 errors, 61 of the network itself, 62 of the name
//! +QNTP: <0, or an error>[,"<time>"]
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CNTP", "+QNTP"], "", "whether a server of time answered", &[], read);

const CNTP: &[Column] = &[
    Column::Own(|w, f| match traffic::canonical(f)? {
        1 => traffic::passed(w, true, f.span),
        61 | 62 | 63 | 65 => traffic::passed(w, false, f.span),
        64 => Ok(()),
        _ => Err("1, or 61 to 65"),
    }),
    Column::Optional,
    Column::Text,
];
const QNTP: &[Column] = &[traffic::RESULT, Column::Optional, Column::Text];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| w.row(reply, if reply.is("+CNTP") { CNTP } else { QNTP }))
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CNTP: 1", r#"+QNTP: 0,"2026/03/04,10:11:12+00""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+CNTP", "1"), [Fact::Traffic(true)]);
        assert_eq!(of("+CNTP", "61"), [Fact::Traffic(false)]);
        assert_eq!(of("+QNTP", "0,\"2026/03/04,10:11:12+00\""), [Fact::Traffic(true)]);
        assert_eq!(of("+QNTP", "569"), [Fact::Traffic(false)]);
    }
}
