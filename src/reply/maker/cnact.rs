//! `+CNACT`: the module's own data contexts and their addresses.

use super::pen::Pen;
use crate::reply::{Fact, Facts, Family, Read, Reply};

pub(super) static FAMILY: Family = Family {
    heads: &["+CNACT"],
    request: "+CNACT?",
    source: "maker's command",
    about: "addresses of the module's own data contexts",
    yields: &[],
    read,
};

fn read(reply: &Reply<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    let Some(mut pen) = Pen::of_state(reply, facts) else { return Read::UnknownForm };
    let (id, address) = match row.as_slice() {
        [id, _state, address, ..] => (id.small(), address),
        [_state, address] if address.quoted => (Some(0), address),
        _ => return Read::UnknownForm,
    };
    let Some(id) = id.filter(|n| *n < 250) else { return Read::UnknownForm };
    // Its contexts count from 0, those of the network from 1.
    let shown = if address.text == "0.0.0.0" { "" } else { address.text };
    if shown.is_empty() {
        pen.understood();
    } else {
        pen.fact(Fact::Address(id + 1, shown.to_owned()), address.span);
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::reply::Fact;
    use crate::reply::maker::trial::of;

    #[test]
    fn an_address_counts_and_a_place_holder_does_not() {
        assert_eq!(of("+CNACT", "0,1,\"192.0.2.103\""), [Fact::Address(1, "192.0.2.103".into())]);
        assert_eq!(of("+CNACT", "1,0,\"0.0.0.0\""), []);
    }
}
