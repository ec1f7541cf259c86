//! `+CNSMOD`: the technology in use.
//!
//! ```text
//! read         <n>,<mode>          unsolicited  <mode>
//! ```
//!
//! 0 none, 1 to 3 GSM, 4 to 6 UMTS, 8 LTE, 9 NB-IoT; 7 is HSPA+ with some firmware and LTE-M with other, and says nothing.

use super::family;
use crate::case::{Fact, Facts, Rat, Service};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family = family(&["+CNSMOD"], "+CNSMOD?", "technology in use", &[], read);

const MODE: Column = Column::Own(|w, f| {
    let rat = match f.text {
        "0" => {
            w.fact(Fact::Service(Service::None), f.span);
            return Ok(());
        }
        "1" | "2" | "3" => Rat::Gsm,
        "4" | "5" | "6" => Rat::Utra,
        "7" => return Ok(()),
        "8" => Rat::Lte,
        "9" => Rat::NbIot,
        _ => return Err("0 to 9"),
    };
    w.fact(Fact::Technology(rat), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match (reply.form, reply.fields().len()) {
        (Form::Unsolicited | Form::Unknown, 1) => w.row(reply, &[MODE]),
        _ => w.row(reply, &[Column::Word(&["0", "1"]), MODE]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CNSMOD: 0,8"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat, Service};
    use crate::response::sample::of;

    #[test]
    fn the_mode_in_use_is_no_setting() {
        assert_eq!(of("+CNSMOD", "0,8"), [Fact::Technology(Rat::Lte)]);
        assert_eq!(of("+CNSMOD", "0,0"), [Fact::Service(Service::None)]);
        assert_eq!(of("+CNSMOD", "0"), [], "a read has two numbers");
    }
}
