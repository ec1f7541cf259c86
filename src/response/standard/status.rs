//! States of the equipment: `+CIND`, `+CIEV`, `+CPAS`, `+CBC`.
//!
//! TS 27.007 §8.9, §8.10, §8.1, §8.4. The order of the indicators stands in `AT+CIND=?` alone.

use super::network::OneNumber;
use crate::case::{Cell, Fact, Facts, Power, Quantity};
use crate::response::grammar::{self, next, number};
use crate::response::{Family, Read, Response};

pub(crate) static CIND: Family = Family {
    prefixes: &["+CIND"],
    request: "+CIND=?",
    source: "TS 27.007 §8.9",
    about: "indicators: service, roaming, bars of signal",
    yields: &[],
    read: cind,
};
pub(crate) static CIEV: Family = Family {
    prefixes: &["+CIEV"],
    request: "",
    source: "TS 27.007 §8.10",
    about: "an indicator that changed",
    yields: &[],
    read: ciev,
};
pub(crate) static CPAS: Family = Family {
    prefixes: &["+CPAS"],
    request: "+CPAS",
    source: "TS 27.007 §8.1",
    about: "whether the equipment is ready, busy or asleep",
    yields: &[],
    read: cpas,
};
pub(crate) static CBC: Family = Family {
    prefixes: &["+CBC"],
    request: "+CBC",
    source: "TS 27.007 §8.4; the voltage is a common addition, no source",
    about: "battery state, and with many modems the supply voltage",
    yields: &[Quantity::SupplyMillivolt],
    read: cbc,
};

fn cind(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() {
        // `("service",(0-1))`: the names, in the order of the values.
        let names: Option<Vec<String>> =
            reply.fields().iter().map(|f| indicator(f.text).map(str::to_ascii_lowercase)).collect();
        let Some(names) = names else { return Read::UnknownForm };
        facts.push(Fact::IndicatorNames(names), reply.span);
        return Read::Understood;
    }
    let read = grammar::parse(reply, |input| {
        let (mut rest, first) = number("ind", 0..=u8::MAX)(input)?;
        let mut values = vec![*first];
        while grammar::comma(rest).is_some() && !grammar::is_sentence(rest) {
            let (behind, value) = next("ind", number("ind", 0..=u8::MAX))(rest)?;
            values.push(*value);
            rest = behind;
        }
        Ok((rest, values))
    });
    read.map(|values| facts.push(Fact::IndicatorValues(values), reply.span)).into()
}

/// The name in `("service",(0-1))`.
fn indicator(text: &str) -> Option<&str> {
    text.strip_prefix('(')?.trim_start().strip_prefix('"')?.split('"').next()
}

/// `<number>,<value>` counts as in `+CIND=?`; some vendors print the name, and vendors' own events have further values.
fn ciev(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let named = reply.body.starts_with(|c: char| !c.is_ascii_digit());
    let read = grammar::parse(reply, |input| {
        let (rest, name, place) = if named {
            let (rest, name) = grammar::name("ind")(input)?;
            (rest, name.value, 0)
        } else {
            let (rest, place) = number("ind", 0..=u8::MAX)(input)?;
            (rest, "", *place)
        };
        let (rest, value) = next("value", grammar::any)(rest)?;
        let (rest, _) = grammar::remaining(rest)?;
        Ok((rest, (name, place, value.parse::<u8>().ok())))
    });
    let note = |(name, place, value): (&str, u8, Option<u8>)| match value {
        Some(value) if place > 0 => facts.push(Fact::IndicatorValue(place, value), reply.span),
        Some(value @ 0..=1) if name.eq_ignore_ascii_case("service") => {
            facts.push(Fact::ServiceIndicator(value == 1), reply.span);
        }
        _ => {}
    };
    read.map(note).into()
}

fn cpas(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |pas: OneNumber| {
        if *pas.value == 5 {
            facts.push(Fact::Power(Power::Asleep), reply.span);
        }
    };
    OneNumber::parse(reply, "+CPAS", "pas", 0..=9).map(note).into()
}

/// `<state>,<percent>[,<millivolt>]`; one number alone above 1000 is a voltage, and one with a point is volts.
fn cbc(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let read = grammar::parse(reply, |input| {
        let (rest, first) = grammar::any(input)?;
        let (rest, others) = grammar::remaining(rest)?;
        let (text, place) = match &*others {
            [] => (first.value, input),
            [_] => ("", input),
            [_, volts, ..] => (volts.text, input),
        };
        let bare = text.trim_end_matches(['V', 'v', 'm']);
        let value = match bare.parse::<f64>() {
            Ok(volts) if bare.contains('.') => Some((volts * 1000.0).round()),
            Ok(millivolt) => Some(millivolt),
            Err(_) if text.is_empty() => None,
            Err(_) => return grammar::fail(place, "voltage", "a number of millivolts"),
        };
        Ok((rest, value))
    });
    let note = |millivolt: Option<f64>| {
        if let Some(value) = millivolt.filter(|v| *v >= 1000.0) {
            facts.number(Quantity::SupplyMillivolt, value, Cell::Serving, reply.span);
        }
    };
    read.map(note).into()
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
