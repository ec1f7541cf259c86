//! `#PSNT`: the technology of the packet service.
//!
//! ```text
//! read         <mode>,<technology>
//! unsolicited  <technology>              0 GPRS, 1 EDGE, 2 UMTS, 3 HSDPA, 4 LTE, 5 none
//! ```

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#PSNT"], "#PSNT?", "technology of the packet service", &[], read);

const TECHNOLOGY: Column = Column::Own(|w, f| {
    let rat = match f.text {
        "0" | "1" => Rat::Gsm,
        "2" | "3" => Rat::Utra,
        "4" => Rat::Lte,
        "5" => return Ok(()),
        _ => return Err("0 to 5"),
    };
    w.fact(Fact::Technology(rat), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match reply.form {
        Form::Unsolicited => w.row(reply, &[TECHNOLOGY]),
        // Two numbers are the form of a read, whose request was lost.
        Form::Unknown if reply.fields().len() == 1 => w.row(reply, &[TECHNOLOGY]),
        _ => w.row(reply, &[Column::Word(&["0", "1"]), TECHNOLOGY]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#PSNT: 0,4"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn the_second_number_of_a_read_is_the_technology() {
        assert_eq!(of("#PSNT", "0,4"), [Fact::Technology(Rat::Lte)]);
    }
}
