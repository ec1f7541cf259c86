//! `^SCKS`: whether a card is in the holder.
//!
//! ```text
//! read  <reports on>,<state>          unsolicited  <state>          0 removed, 1 inserted
//! ```

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SCKS"], "^SCKS?", "whether a card is there", &[], read);

const STATE: Column = Column::Own(|w, f| {
    let sim = match f.text {
        "0" => Sim::NotInserted,
        "1" => Sim::Inserted,
        _ => return Err("0 or 1"),
    };
    w.fact(Fact::Sim(sim), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match (reply.form, reply.fields().len()) {
        (Form::Unsolicited | Form::Unknown, 1) => w.row(reply, &[STATE]),
        _ => w.row(reply, &[Column::Word(&["0", "1"]), STATE]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SCKS: 0,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::of;

    #[test]
    fn the_second_number_of_a_read_is_the_state() {
        assert_eq!(of("^SCKS", "1,0"), [Fact::Sim(Sim::NotInserted)]);
        assert_eq!(of("^SCKS", "0,1"), [Fact::Sim(Sim::Inserted)]);
        assert_eq!(of("^SCKS", "0"), [], "a read has two numbers");
    }
}
