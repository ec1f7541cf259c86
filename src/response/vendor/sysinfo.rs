//! `^SYSINFO`: service, card and technology in numbers, the older form; from memory.
//!
//! ```text
//! <service>,<domain>,<roaming>,<technology>,<card>[,…]          technology: 3 GSM, 5 UMTS
//! ```

use super::family;
use super::sysinfoex::{CARD, SERVICE};
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SYSINFO"], "^SYSINFO", "service state, card state and technology", &[], read);

const FORM: &[Column] = &[
    SERVICE,
    Column::Figure,
    Column::Word(&["0", "1"]),
    Column::Own(|w, f| {
        let rat = match f.text {
            "3" => Rat::Gsm,
            "5" => Rat::Utra,
            text if text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit()) => return Ok(()),
            _ => return Err("a technology"),
        };
        w.fact(Fact::Technology(rat), f.span);
        Ok(())
    }),
    CARD,
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SYSINFO: 1,0,0,5,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat, Service, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn the_older_form_has_the_card_last() {
        let found = of("^SYSINFO", "1,0,0,5,1");
        assert!(says(&found, &Fact::Service(Service::Limited)));
        assert!(says(&found, &Fact::Technology(Rat::Utra)));
        assert!(says(&found, &Fact::Sim(Sim::Ready)));
        assert!(says(&of("^SYSINFO", "0,0,0,0,255"), &Fact::Sim(Sim::NotInserted)));
    }
}
