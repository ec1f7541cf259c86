//! `#QSS`: the state of the card.
//!
//! ```text
//! read         <mode>,<state>        unsolicited  <state>
//! ```
//!
//! 0 not inserted, 1 inserted, 2 inserted and its code open, 3 read to the end.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#QSS"], "#QSS?", "whether a card is there, and its state", &[], read);

const STATE: Column = Column::Own(|w, f| {
    let sim = match f.text {
        "0" => Sim::NotInserted,
        "1" => Sim::Inserted,
        "2" | "3" => Sim::Ready,
        _ => return Err("0 to 3"),
    };
    w.fact(Fact::Sim(sim), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match (reply.form, reply.fields().len()) {
        (Form::Unsolicited | Form::Unknown, 1) => w.row(reply, &[STATE]),
        _ => w.row(reply, &[Column::Word(&["0", "1", "2"]), STATE]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#QSS: 2,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says, with_form};

    use crate::response::Form;

    #[test]
    fn a_status_tells_inserted_from_ready() {
        assert!(says(&of("#QSS", "2,1"), &Fact::Sim(Sim::Inserted)));
        assert!(says(&of("#QSS", "2,3"), &Fact::Sim(Sim::Ready)));
        let (_, own) = with_form("#QSS", Form::Unsolicited, "0", &[]);
        assert!(says(&own, &Fact::Sim(Sim::NotInserted)));
        assert!(of("#QSS", "2").is_empty(), "a read has two numbers");
    }
}
