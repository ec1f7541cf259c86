//! `^NDISSTAT`, `^NDISSTATQRY`: the state of the session of the network interface.
//!
//! ```text
//! ^NDISSTAT: <0 down | 1 up>[,<error>,<wait>,"<IPV4|IPV6>"]          comes by itself
//! ^NDISSTATQRY: <0 down | 1 up | 2 coming | 3 going>,<error>,<wait>,"IPV4"[,…the same for "IPV6"]
//! ```
//!
//! Errors are the vendor's own; from memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["^NDISSTAT", "^NDISSTATQRY"],
    "^NDISSTATQRY?",
    "the state of the session of the network interface",
    &[],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let form =
            [Column::Word(&["0", "1", "2", "3"]), Column::Optional, Column::Figure, Column::Rest];
        w.row(reply, &form)?;
        let row = reply.fields();
        // Each family of addresses has its own state; one that is up carries data.
        let states: Vec<&str> = row.chunks(4).map(|family| family[0].text).collect();
        let state = if states.contains(&"1") {
            Some(true)
        } else {
            Some(false).filter(|_| states[0] == "0")
        };
        if let Some(up) = state.filter(|_| !reply.open || row.len() > 1) {
            w.fact(Fact::Active(1, up), row[0].span);
        }
        // An error beside a session that is down says that it was refused.
        if reply.is("^NDISSTAT")
            && states[0] == "0"
            && row.get(1).is_some_and(|f| f.int().is_some_and(|n| n > 0))
        {
            w.fact(Fact::Opening(false), row[1].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &[r#"^NDISSTAT: 1,,,"IPV4""#, r#"^NDISSTATQRY: 1,,,"IPV4",0,33,,"IPV6""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of, says};

    #[test]
    fn up_and_down_are_told_apart() {
        assert_eq!(of("^NDISSTAT", "1,,,\"IPV4\""), [Fact::Active(1, true)]);
        assert!(says(&of("^NDISSTAT", "0,33,,\"IPV4\""), &Fact::Opening(false)));
        assert_eq!(of("^NDISSTATQRY", "0,,,\"IPV4\",1,,,\"IPV6\""), [Fact::Active(1, true)]);
    }
}
