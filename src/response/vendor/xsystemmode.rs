//! `%XSYSTEMMODE`: the technologies that are switched on.
//!
//! ```text
//! <LTE-M>,<NB-IoT>,<GNSS>[,<preference 0..4>]        three fields on old firmware
//! ```

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%XSYSTEMMODE"], "%XSYSTEMMODE?", "technologies that are allowed", &[], read);

const SWITCH: Column = Column::Word(&["0", "1"]);
const FORM: &[Column] =
    &[SWITCH, SWITCH, SWITCH, Column::Optional, Column::Word(&["0", "1", "2", "3", "4"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let both = [(Rat::LteM, reply.text(0)), (Rat::NbIot, reply.text(1))];
        let on: Vec<Rat> = both.iter().filter(|(_, f)| *f == "1").map(|(rat, _)| *rat).collect();
        if !on.is_empty() {
            w.fact(Fact::AllowedTechnologies(on), reply.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XSYSTEMMODE: 1,0,1,0"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::of;

    #[test]
    fn each_technology_has_its_switch() {
        assert_eq!(of("%XSYSTEMMODE", "1,0,0,0"), [Fact::AllowedTechnologies(vec![Rat::LteM])]);
        let both = Fact::AllowedTechnologies(vec![Rat::LteM, Rat::NbIot]);
        assert_eq!(of("%XSYSTEMMODE", "1,1,1"), [both]);
    }
}
