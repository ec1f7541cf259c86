//! `+QNWINFO`, `+QSPN`: technology, network code, band and channel in use.

use crate::case::{Fact, Facts, Quantity, Rat, Service};
use crate::response::fact_writer::{FactWriter, channel_quantity};
use crate::response::{Family, Read, Response};
use crate::response::{bands, names};

pub(super) static FAMILY: Family = Family {
    heads: &["+QNWINFO", "+QSPN"],
    request: "+QNWINFO",
    source: "maker's command",
    about: "technology, network code, band and channel in use",
    yields: &[
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if reply.is("+QSPN") {
        // `"<full>","<short>","<the card's own name>",<alphabet>,"<network code>"`
        pen.joined_network(fields.get(4));
        return pen.done();
    }
    let technology = fields[0];
    if ["No Service", "NONE"].iter().any(|t| technology.text.eq_ignore_ascii_case(t)) {
        pen.fact(Fact::Service(Service::None), technology.span);
        return pen.done();
    }
    let Some(rat) = names::technology(technology.text) else { return Read::UnknownForm };
    // The NR line stands beside an LTE line in dual connectivity and alone otherwise; one line
    // does not tell which, so that it never claims the technology of the serving cell.
    if rat != Rat::Nr {
        pen.fact(Fact::Technology(rat), technology.span);
    }
    pen.joined_network(fields.get(1));
    if let Some((field, number)) = fields.get(2).and_then(|f| Some((f, bands::named(f.text)?))) {
        pen.value(Quantity::Band, f64::from(number), field.span);
    }
    pen.plain(channel_quantity(rat), fields.get(3));
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Rat, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn band_and_channel_belong_to_the_technology() {
        let found = of("+QNWINFO", "\"FDD LTE\",\"00101\",\"LTE BAND 7\",3350");
        assert!(says(&found, &Fact::Technology(Rat::Lte)));
        assert!(says(&found, &Fact::word(Quantity::Mnc, "01".into(), Cell::Serving)));
        assert_eq!(numbers(&found, Quantity::Band), [7.0]);
        assert_eq!(numbers(&found, Quantity::Earfcn), [3350.0]);
        let gsm = of("+QNWINFO", "\"EDGE\",\"00101\",\"GSM 900\",1");
        assert_eq!(numbers(&gsm, Quantity::Arfcn), [1.0]);
        assert_eq!(numbers(&gsm, Quantity::Band), [] as [f64; 0]);
    }

    #[test]
    fn no_service_is_a_service_state() {
        assert!(says(&of("+QNWINFO", "No Service"), &Fact::Service(Service::None)));
    }
}
