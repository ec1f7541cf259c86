//! `+QPING`: whether packets come back.
//!
//! `0,"<address>",<bytes>,<ms>,<ttl>` for each that does, one number of an error where none does;
//! from memory.

use crate::case::{Fact, Facts};
use crate::response::fact_writer::number;
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QPING"],
    request: "+QPING",
    source: "maker's command",
    about: "whether packets come back",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test {
        return Read::Understood;
    }
    let fields = reply.fields();
    let Some(result) = fields.first().and_then(|f| number(f.text)) else {
        return Read::UnknownForm;
    };
    // The last line sums up: `0,<sent>,<received>,…`, without an address.
    let address = fields.get(1).is_some_and(|f| f.quoted || f.text.contains(['.', ':']));
    if result != 0.0 || address {
        facts.push(Fact::Traffic(result == 0.0), reply.span);
    }
    Read::Understood
}

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn packets_that_come_back_and_those_that_do_not() {
        assert_eq!(of("+QPING", "0,\"192.0.2.1\",32,69,53"), [Fact::Traffic(true)]);
        assert_eq!(of("+QPING", "569"), [Fact::Traffic(false)]);
        assert_eq!(of("+QPING", "0,4,4,0,61,69,64"), []);
    }
}
