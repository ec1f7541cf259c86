//! `+CPSMSTATUS`, `+NPSMR`: power saving begins or ends.

use crate::case::{Fact, Facts, Power};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+CPSMSTATUS", "+NPSMR"],
    request: "",
    source: "maker's command",
    about: "power saving begins or ends: silence after it is no fault",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let fields = reply.fields();
    let begins = match fields[0].text.to_ascii_uppercase().as_str() {
        "ENTER PSM" => true,
        "EXIT PSM" => false,
        _ if reply.is("+NPSMR") => match fields[fields.len() - 1].small() {
            Some(state @ (0 | 1)) => state == 1,
            _ => return Read::UnknownForm,
        },
        _ => return Read::UnknownForm,
    };
    pen.fact(Fact::Power(if begins { Power::Asleep } else { Power::Awake }), reply.span);
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power};
    use crate::response::sample::of;

    #[test]
    fn sleep_and_waking_are_marks() {
        assert_eq!(of("+CPSMSTATUS", "\"ENTER PSM\""), [Fact::Power(Power::Asleep)]);
        assert_eq!(of("+CPSMSTATUS", "EXIT PSM"), [Fact::Power(Power::Awake)]);
        assert_eq!(of("+NPSMR", "0,1"), [Fact::Power(Power::Asleep)]);
    }
}
