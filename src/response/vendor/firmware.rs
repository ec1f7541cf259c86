//! The operator profile or image that the firmware runs with: `+QMBNCFG`, `+UMNOPROF`, `#FWSWITCH`.
//!
//! ```text
//! +QMBNCFG: "List",<index>,<selected>,<active>,"<name>",<version>,<date>
//! ```

use crate::case::{Fact, Facts};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QMBNCFG", "+UMNOPROF", "#FWSWITCH"],
    request: "+QMBNCFG=\"List\"",
    source: "maker's command",
    about: "the operator profile or image that is active",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if reply.is("+QMBNCFG") {
        let active = fields.get(3).and_then(|f| f.small());
        match (active, fields.get(4)) {
            (Some(1), Some(name)) => pen.fact(Fact::OperatorProfile(name.text.into()), name.span),
            (Some(0), Some(_)) => pen.understood(),
            _ if fields.len() == 2 => pen.understood(),
            _ => {}
        }
    } else if let Some(number) = fields[0].int() {
        pen.fact(Fact::OperatorProfile(format!("number {number}")), fields[0].span);
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of, says};

    #[test]
    fn only_the_active_profile_counts() {
        let active = of("+QMBNCFG", "\"List\",0,1,1,\"Ember-Data\",0x0501,201901");
        assert!(says(&active, &Fact::OperatorProfile("Ember-Data".into())));
        assert!(of("+QMBNCFG", "\"List\",1,0,0,\"Generic\",0x0501,201901").is_empty());
        assert!(of("+QMBNCFG", "\"AutoSel\",1").is_empty());
        assert!(says(&of("+UMNOPROF", "90"), &Fact::OperatorProfile("number 90".into())));
    }
}
