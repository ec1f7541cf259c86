//! Technology choice: `+CNMP`, `+CMNB`, `%XSYSTEMMODE`, `+KSRAT`,
//! `+CNSMOD`.

use crate::case::{Fact, Facts, Rat, Service};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+CNMP", "+CMNB", "%XSYSTEMMODE", "+KSRAT", "+CNSMOD"],
    request: "+CNMP?",
    source: "maker's command",
    about: "technologies that the settings allow, and the one in use",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let first = fields[0];
    let allowed: &[Rat] = match (reply.head.to_ascii_uppercase().as_str(), first.small()) {
        ("+CNMP", Some(2)) => {
            pen.understood();
            return pen.done();
        }
        ("+CNMP", Some(13)) => &[Rat::Gsm],
        ("+CNMP", Some(14)) => &[Rat::Utra],
        ("+CNMP", Some(38)) => &[Rat::Lte],
        ("+CNMP", Some(51)) => &[Rat::Gsm, Rat::Lte],
        ("+KSRAT", Some(0)) => &[Rat::LteM],
        ("+KSRAT", Some(1)) => &[Rat::NbIot],
        ("+KSRAT", Some(2)) => &[Rat::Gsm],
        ("+CMNB", Some(1)) => &[Rat::LteM],
        ("+CMNB", Some(2)) => &[Rat::NbIot],
        ("+CMNB", Some(3)) => &[Rat::LteM, Rat::NbIot],
        ("%XSYSTEMMODE", Some(1)) if on(reply, 1) => &[Rat::LteM, Rat::NbIot],
        ("%XSYSTEMMODE", Some(1)) => &[Rat::LteM],
        ("%XSYSTEMMODE", Some(0)) if on(reply, 1) => &[Rat::NbIot],
        ("+CNSMOD", _) => {
            in_use(&mut pen, reply);
            return pen.done();
        }
        _ => return Read::UnknownForm,
    };
    pen.fact(Fact::AllowedTechnologies(allowed.to_vec()), first.span);
    pen.done()
}

fn on(reply: &Response<'_>, at: usize) -> bool {
    reply.fields().get(at).and_then(|f| f.small()) == Some(1)
}

/// `[<n>,]<mode>`; 7 is HSPA+ with some makers and LTE-M with others, and says nothing.
fn in_use(pen: &mut FactWriter<'_>, reply: &Response<'_>) {
    let fields = reply.fields();
    let Some(mode) = fields.get(1).or(fields.first()) else { return };
    let rat = match mode.small() {
        Some(0) => return pen.fact(Fact::Service(Service::None), mode.span),
        Some(1..=3) => Rat::Gsm,
        Some(4..=6) => Rat::Utra,
        Some(7) => return pen.understood(),
        Some(8) => Rat::Lte,
        Some(9) => Rat::NbIot,
        _ => return,
    };
    pen.fact(Fact::Technology(rat), mode.span);
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat, Service};
    use crate::response::sample::{of, with_form};
    use crate::response::{Form, Read};

    #[test]
    fn a_number_names_the_technologies_that_are_allowed() {
        assert_eq!(of("+CNMP", "38"), [Fact::AllowedTechnologies(vec![Rat::Lte])]);
        assert_eq!(of("+CNMP", "51"), [Fact::AllowedTechnologies(vec![Rat::Gsm, Rat::Lte])]);
        assert_eq!(of("+CMNB", "3"), [Fact::AllowedTechnologies(vec![Rat::LteM, Rat::NbIot])]);
        assert_eq!(of("%XSYSTEMMODE", "1,0,0,0"), [Fact::AllowedTechnologies(vec![Rat::LteM])]);
    }

    #[test]
    fn automatic_choice_limits_nothing() {
        assert_eq!(with_form("+CNMP", Form::Read, "2", &[]), (Read::Understood, vec![]));
        assert_eq!(with_form("+CNMP", Form::Test, "(2,13,38)", &[]), (Read::UnknownForm, vec![]));
    }

    #[test]
    fn the_mode_in_use_is_no_setting() {
        assert_eq!(of("+CNSMOD", "0,8"), [Fact::Technology(Rat::Lte)]);
        assert_eq!(of("+CNSMOD", "0,0"), [Fact::Service(Service::None)]);
    }
}
