//! States of the equipment: `+CIND`, `+CIEV`, `+CPAS`, `+CBC`.
//!
//! TS 27.007 §8.9, §8.10, §8.1, §8.4. The order of the indicators stands in `AT+CIND=?` alone.

use crate::case::{Cell, Fact, Facts, Power, Quantity};
use crate::response::{Family, Form, Read, Response};

pub(crate) static CIND: Family = Family {
    heads: &["+CIND"],
    request: "AT+CIND=?",
    source: "TS 27.007 §8.9",
    about: "indicators: service, roaming, bars of signal",
    yields: &[],
    read: cind,
};
pub(crate) static CIEV: Family = Family {
    heads: &["+CIEV"],
    request: "",
    source: "TS 27.007 §8.10",
    about: "an indicator that changed",
    yields: &[],
    read: ciev,
};
pub(crate) static CPAS: Family = Family {
    heads: &["+CPAS"],
    request: "AT+CPAS",
    source: "TS 27.007 §8.1",
    about: "whether the equipment is ready, busy or asleep",
    yields: &[],
    read: cpas,
};
pub(crate) static CBC: Family = Family {
    heads: &["+CBC"],
    request: "AT+CBC",
    source: "TS 27.007 §8.4; the voltage is a common addition, no source",
    about: "battery state, and with many modems the supply voltage",
    yields: &[Quantity::SupplyMillivolt],
    read: cbc,
};

fn cind(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let names: Vec<String> =
        fields.iter().filter_map(|f| indicator(f.text)).map(str::to_ascii_lowercase).collect();
    if names.len() == fields.len() {
        facts.push(Fact::IndicatorNames(names), reply.span);
        return Read::Understood;
    }
    match fields.iter().map(|f| f.small()).collect::<Option<Vec<u8>>>() {
        Some(values) if reply.form != Form::Test => {
            facts.push(Fact::IndicatorValues(values), reply.span);
            Read::Understood
        }
        _ => Read::UnknownForm,
    }
}

/// The name in `("service",(0-1))`.
fn indicator(text: &str) -> Option<&str> {
    text.strip_prefix('(')?.trim_start().strip_prefix('"')?.split('"').next()
}

/// `<number>,<value>` counts as in `+CIND=?`; some makers print the name.
fn ciev(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let [which, value, ..] = fields[..] else { return Read::UnknownForm };
    let Some(value) = value.small() else { return Read::Understood };
    match which.small() {
        Some(place @ 1..) => facts.push(Fact::IndicatorValue(place, value), reply.span),
        Some(0) => {}
        None if which.text.eq_ignore_ascii_case("service") && value <= 1 => {
            facts.push(Fact::ServiceIndicator(value == 1), reply.span);
        }
        None => {}
    }
    Read::Understood
}

fn cpas(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    match reply.fields()[0].small() {
        Some(5) => facts.push(Fact::Power(Power::Asleep), reply.span),
        Some(0..=4) => {}
        _ => return Read::UnknownForm,
    }
    Read::Understood
}

/// `<state>,<percent>[,<millivolt>]`; one number alone above 1000 is a voltage.
fn cbc(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let fields = reply.fields();
    let field = match fields {
        [one] => Some(one),
        [_, _, volts, ..] => Some(volts),
        _ => None,
    };
    let millivolt = field.and_then(|f| {
        let text = f.text.trim_end_matches(['V', 'v', 'm', ' ']);
        let value: f64 = text.parse().ok()?;
        // Volts with a point, or millivolts.
        if text.contains('.') { Some((value * 1000.0).round()) } else { Some(value) }
    });
    if let Some(value) = millivolt.filter(|v| *v >= 1000.0) {
        facts.number(Quantity::SupplyMillivolt, value, Cell::Serving, reply.span);
    }
    Read::Understood
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Power, Quantity};
    use crate::response::standard::tests::facts_of;

    #[test]
    fn indicators_have_their_names_in_the_test_form_alone() {
        let names = facts_of("+CIND: (\"battchg\",(0-5)),(\"service\",(0-1)),(\"roam\",(0-1))");
        let Fact::IndicatorNames(names) = &names[0] else { panic!("{names:?}") };
        assert_eq!(names[1..], ["service", "roam"]);
        assert_eq!(facts_of("+CIND: 5,1,0"), [Fact::IndicatorValues(vec![5, 1, 0])]);
        assert_eq!(facts_of("+CIEV: 2,0"), [Fact::IndicatorValue(2, 0)]);
        assert_eq!(facts_of("+CIEV: \"service\",1"), [Fact::ServiceIndicator(true)]);
    }

    #[test]
    fn a_supply_voltage_is_read_in_millivolts_and_in_volts() {
        let volts = |v| [Fact::number(Quantity::SupplyMillivolt, v, Cell::Serving)];
        assert_eq!(facts_of("+CBC: 0,80,3800"), volts(3800.0));
        assert_eq!(facts_of("+CBC: 3.912V"), volts(3912.0));
        assert!(facts_of("+CBC: 0,80").is_empty());
    }

    #[test]
    fn sleep_is_a_mark() {
        assert_eq!(facts_of("+CPAS: 5"), [Fact::Power(Power::Asleep)]);
    }
}
