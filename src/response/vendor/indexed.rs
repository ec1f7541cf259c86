//! `^RSSI` and `+QIND`: the index of `+CSQ` as it comes by itself; common practice, no source.
//!
//! ```text
//! ^RSSI: <index>        +QIND: "csq",<index>,<ber>        +QIND: SMS DONE
//! ```

use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::standard::signal;
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^RSSI", "+QIND"],
    request: "AT^RSSI?",
    source: "maker's command; TS 27.007 §8.5",
    about: "signal strength index",
    yields: &[Quantity::Rssi],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test {
        return Read::Understood;
    }
    let fields = reply.fields();
    let index = if reply.is("^RSSI") {
        fields.first()
    } else if fields[0].text.eq_ignore_ascii_case("csq") {
        fields.get(1)
    } else if ["SMS DONE", "PB DONE"].contains(&fields[0].text) {
        // The card was read to the end, as it is after a start.
        facts.push(Fact::Power(Power::Starting), reply.span);
        return Read::Understood;
    } else {
        None
    };
    match index.and_then(|field| field.small()) {
        Some(index) => signal::strength(index, reply.span, facts),
        None => Read::UnknownForm,
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Power, Quantity};
    use crate::response::sample::{of, says};

    #[test]
    fn an_index_is_a_level_and_99_none() {
        // TS 27.007 §8.5: 2 is -109 dBm, 30 is -53 dBm.
        let level = |v| Fact::number(Quantity::Rssi, v, Cell::Serving);
        assert!(says(&of("^RSSI", "2"), &level(-109.0)));
        assert!(says(&of("+QIND", "\"csq\",30,99"), &level(-53.0)));
        assert!(says(&of("^RSSI", "99"), &Fact::no_value(Quantity::Rssi, Cell::Serving)));
        assert!(says(&of("+QIND", "PB DONE"), &Fact::Power(Power::Starting)));
    }
}
