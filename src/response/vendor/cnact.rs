//! The module's own data sessions: `+CNACT`, `+QIACT`, `+SAPBR`, `#SGACT`, `!SCACT`, `+CIFSR`,
//! `+UUPSDA`, `+UUPSDD`, `+APP PDP`, `+QIURC`.
//!
//! ```text
//! +CNACT: <id>,<state>,"<address>"          ids count from 0; older: <state>,"<address>"
//! +QIACT: <cid>,<state>,<type>[,"<address>"]     from memory
//! +SAPBR: <cid>,<1 open, 3 closed>,"<address>"   from memory
//! #SGACT: <cid>,<state>        !SCACT: <cid>,<state>
//! +APP PDP: [<id>,]ACTIVE|DEACTIVE                                come by themselves
//! +QIURC: "pdpdeact",<cid>                 comes by itself; others are of a socket
//! +UUPSDA: <0 or an error>,"<address>"     +UUPSDD: <profile>     come by themselves
//! <address>                    the answer to +CIFSR, without a header; from memory
//! ```

use crate::case::{Fact, Facts};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};
use std::net::IpAddr;

pub(super) static FAMILY: Family = Family {
    heads: &[
        "+CNACT", "+QIACT", "+SAPBR", "#SGACT", "!SCACT", "+CIFSR", "+UUPSDA", "+UUPSDD",
        "+APP PDP", "+QIURC",
    ],
    request: "+CNACT?",
    source: "maker's command",
    about: "the module's own data sessions and their addresses",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let field = |n: usize| row.get(n);
    let small = |n: usize| row.get(n).and_then(|f| f.small()).filter(|v| *v < 250);
    match reply.head.to_ascii_uppercase().as_str() {
        "+CNACT" => match row {
            // Its contexts count from 0, those of the network from 1.
            [_, _, ..] if small(0).is_some() && row.len() > 2 => {
                let id = small(0).unwrap_or(0) + 1;
                session(&mut pen, id, small(1), &[1], field(2), row);
            }
            [_, address] if address.quoted => {
                session(&mut pen, 1, small(0), &[1], field(1), row);
            }
            _ => return Read::UnknownForm,
        },
        "+QIACT" => {
            let Some(cid) = small(0) else { return Read::UnknownForm };
            session(&mut pen, cid, small(1), &[1], field(3), row);
        }
        "+SAPBR" => {
            let Some(cid) = small(0) else { return Read::UnknownForm };
            session(&mut pen, cid, small(1), &[1], field(2), row);
        }
        "+UUPSDA" => {
            let Some(code) = small(0) else { return Read::UnknownForm };
            let address = field(1).filter(|f| f.text.parse::<IpAddr>().is_ok());
            pen.fact(Fact::Opening(code == 0), row[0].span);
            if let Some(address) = address.filter(|_| code == 0) {
                pen.fact(Fact::Address(1, address.text.to_owned()), address.span);
            }
        }
        // `<id>,ACTIVE` or `DEACTIVE`, without the number where there is one session only.
        "+APP PDP" => {
            let Some(word) = row.last() else { return Read::UnknownForm };
            let up = match word.text {
                "ACTIVE" => true,
                "DEACTIVE" => false,
                _ => return Read::UnknownForm,
            };
            let id = if row.len() > 1 { small(0).unwrap_or(0) } else { 0 };
            pen.fact(Fact::Active(id + 1, up), row[0].span.to(word.span));
        }
        "+QIURC" => match row {
            [what, cid, ..] if what.text.eq_ignore_ascii_case("pdpdeact") => {
                let Some(cid) = cid.small() else { return Read::UnknownForm };
                pen.fact(Fact::Active(cid, false), what.span.to(row[1].span));
            }
            _ => pen.understood(),
        },
        "+UUPSDD" => pen.fact(Fact::Released(false), row[0].span),
        "+CIFSR" => {
            for line in reply.tail {
                if let Ok(address) = line.text.trim().parse::<IpAddr>()
                    && !address.is_unspecified()
                {
                    pen.fact(Fact::Address(1, address.to_string()), line.span);
                }
            }
        }
        _ => {
            let (Some(cid), Some(state @ (0 | 1))) = (small(0), small(1)) else {
                return Read::UnknownForm;
            };
            pen.fact(Fact::Active(cid, state == 1), row[0].span.to(row[1].span));
        }
    }
    pen.done()
}

/// A session with its state, open where the state is one of `open`, and its address.
fn session(
    pen: &mut FactWriter<'_>,
    cid: u8,
    state: Option<u8>,
    open: &[u8],
    address: Option<&Field<'_>>,
    row: &[Field<'_>],
) {
    let Some(state) = state else { return };
    let up = open.contains(&state);
    let whole = row[0].span.to(row[row.len() - 1].span);
    pen.fact(Fact::Active(cid, up), whole);
    let shown =
        address.filter(|a| up && a.text.parse::<IpAddr>().is_ok_and(|a| !a.is_unspecified()));
    if let Some(address) = shown {
        pen.fact(Fact::Address(cid, address.text.to_owned()), address.span);
    }
}

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of, of_block, says};

    #[test]
    fn an_open_session_has_its_address_and_a_closed_one_none() {
        let open = |cid| Fact::Active(cid, true);
        let at = |cid, a: &str| Fact::Address(cid, a.into());
        assert_eq!(of("+CNACT", "0,1,\"192.0.2.103\""), [open(1), at(1, "192.0.2.103")]);
        assert_eq!(of("+CNACT", "1,0,\"0.0.0.0\""), [Fact::Active(2, false)]);
        assert_eq!(of("+CNACT", "1,\"192.0.2.9\""), [open(1), at(1, "192.0.2.9")]);
        assert_eq!(of("+QIACT", "1,1,1,\"192.0.2.7\""), [open(1), at(1, "192.0.2.7")]);
        assert_eq!(of("+SAPBR", "1,3,\"0.0.0.0\""), [Fact::Active(1, false)]);
        assert_eq!(of("+QIURC", "\"pdpdeact\",1"), [Fact::Active(1, false)]);
        assert_eq!(of("+QIURC", "\"recv\",0"), []);
        assert_eq!(of("+APP PDP", "0,DEACTIVE"), [Fact::Active(1, false)]);
        assert_eq!(of("+APP PDP", "ACTIVE"), [Fact::Active(1, true)]);
        assert_eq!(of("#SGACT", "1,0"), [Fact::Active(1, false)]);
        assert_eq!(of("!SCACT", "3,1"), [open(3)]);
    }

    #[test]
    fn a_bare_address_answers_its_question() {
        let found = of_block("+CIFSR", "", &["192.0.2.8"]);
        assert_eq!(found, [Fact::Address(1, "192.0.2.8".into())]);
        assert!(of_block("+CIFSR", "", &["ERROR"]).is_empty());
    }

    #[test]
    fn a_session_that_came_up_or_failed_by_itself_is_told() {
        let up = of("+UUPSDA", "0,\"10.20.1.7\"");
        assert!(says(&up, &Fact::Opening(true)));
        assert!(says(&up, &Fact::Address(1, "10.20.1.7".into())));
        assert!(says(&of("+UUPSDA", "68,\"\""), &Fact::Opening(false)));
        assert!(says(&of("+UUPSDD", "0"), &Fact::Released(false)));
    }
}
