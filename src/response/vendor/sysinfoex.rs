//! `^SYSINFOEX`: service, card and technology in numbers.
//!
//! ```text
//! <service>,<domain>,<roaming>,<card>,[lock],<technology>,<name>,<sub-technology>,<name>
//! ```
//!
//! Service: 0 none, 1 restricted, 2 valid, 3 restricted to a region, 4 power saving. Of the card numbers only "valid" (1)
//! and "absent" (255) are used; the others are not verified. Technology: 1 GSM, 3 UMTS, 6 LTE.

use super::family;
use crate::case::{Fact, Facts, Rat, Service, Sim};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SYSINFOEX"], "^SYSINFOEX", "service state, card state and technology", &[], read);

/// A service state.
pub(super) const SERVICE: Column = Column::Own(|w, f| {
    let state = match f.text {
        "0" => Service::None,
        "1" | "3" => Service::Limited,
        "2" => Service::Normal,
        "4" => return Ok(()),
        _ => return Err("0 to 4"),
    };
    w.fact(Fact::Service(state), f.span);
    Ok(())
});
/// A card state.
pub(super) const CARD: Column = Column::Own(|w, f| {
    match f.text {
        "1" => w.fact(Fact::Sim(Sim::Ready), f.span),
        "255" => w.fact(Fact::Sim(Sim::NotInserted), f.span),
        "" | "0" | "2" | "3" | "4" | "240" => {}
        _ => return Err("a card state"),
    }
    Ok(())
});
const TECHNOLOGY: Column = Column::Own(|w, f| {
    let rat = match f.text {
        "1" => Rat::Gsm,
        "3" => Rat::Utra,
        "6" => Rat::Lte,
        text if text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit()) => return Ok(()),
        _ => return Err("a technology"),
    };
    w.fact(Fact::Technology(rat), f.span);
    Ok(())
});
const FORM: &[Column] = &[
    SERVICE,
    Column::Figure,
    Column::Word(&["0", "1"]),
    CARD,
    Column::Figure,
    TECHNOLOGY,
    Column::Text,
    Column::Figure,
    Column::Text,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"^SYSINFOEX: 2,3,0,1,,6,"LTE",101,"LTE""#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat, Service, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn service_card_and_technology_are_read_from_one_line() {
        let found = of("^SYSINFOEX", "2,3,0,1,,6,\"LTE\",101,\"LTE\"");
        assert!(says(&found, &Fact::Service(Service::Normal)));
        assert!(says(&found, &Fact::Sim(Sim::Ready)));
        assert!(says(&found, &Fact::Technology(Rat::Lte)));
    }
}
