//! The network: `+COPS`, `+CGATT`, `+CEMODE`, `+CPSMS`, `+CSCON`, `+CIND`, `+WS46`.
//!
//! TS 27.007 §7.3, §10.1.9, §10.1.28, §7.38, §10.1.30, §8.9, §5.9.

use crate::case::{Cell, Fact, Facts, Operator, Quantity, Rat, ScannedNetwork};
use crate::response::{Family, Form, Read, Response};

pub(crate) static COPS: Family = Family {
    heads: &["+COPS", "COPS"],
    request: "AT+COPS?",
    source: "TS 27.007 §7.3",
    about: "the network in use and how it is chosen",
    yields: &[Quantity::Mcc, Quantity::Mnc, Quantity::Act],
    read: cops,
};
pub(crate) static CGATT: Family = Family {
    heads: &["+CGATT", "CGATT"],
    request: "AT+CGATT?",
    source: "TS 27.007 §10.1.9",
    about: "whether the packet service is attached",
    yields: &[],
    read: cgatt,
};
pub(crate) static CEMODE: Family = Family {
    heads: &["+CEMODE", "CEMODE"],
    request: "AT+CEMODE?",
    source: "TS 27.007 §10.1.28",
    about: "whether voice or data decides where the modem stays",
    yields: &[],
    read: cemode,
};
pub(crate) static CPSMS: Family = Family {
    heads: &["+CPSMS"],
    request: "AT+CPSMS?",
    source: "TS 27.007 §7.38",
    about: "power saving mode",
    yields: &[],
    read: cpsms,
};
pub(crate) static CSCON: Family = Family {
    heads: &["+CSCON"],
    request: "AT+CSCON?",
    source: "TS 27.007 §10.1.30",
    about: "radio connection",
    yields: &[],
    read: cscon,
};
pub(crate) static WS46: Family = Family {
    heads: &["+WS46"],
    request: "AT+WS46?",
    source: "TS 27.007 §5.9",
    about: "the technologies that are allowed",
    yields: &[],
    read: ws46,
};

fn cops(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.body.starts_with('(') || reply.form == Form::Test {
        return scan(reply, facts);
    }
    let fields = reply.fields();
    let Some(mode) = fields[0].small().filter(|&m| m <= 4) else { return Read::UnknownForm };
    let name = fields.get(2).filter(|f| !f.text.is_empty()).map(|f| f.text.to_owned());
    let act = fields.get(3).and_then(|f| f.small());
    if let (Some(field), Some("2")) = (fields.get(2), fields.get(1).map(|f| f.text)) {
        let code = field.text;
        if (5..=6).contains(&code.len()) && code.bytes().all(|b| b.is_ascii_digit()) {
            facts.push(Fact::word(Quantity::Mcc, code[..3].into(), Cell::Serving), field.span);
            facts.push(Fact::word(Quantity::Mnc, code[3..].into(), Cell::Serving), field.span);
        }
    }
    if let Some(act) = act {
        facts.number(Quantity::Act, f64::from(act), Cell::Serving, reply.span);
        if let Some(rat) = Rat::from_act(act) {
            facts.push(Fact::Technology(rat), reply.span);
        }
    }
    facts.push(Fact::Operator(Operator { mode, name, act }), reply.span);
    Read::Understood
}

/// `(2,"long","short","00101",7),(1,…),,(0,1,2,3,4),(0,1,2)`
fn scan(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let mut networks = Vec::new();
    for field in reply.fields() {
        let Some(inner) = field.text.strip_prefix('(') else {
            if field.text.is_empty() {
                break;
            }
            continue;
        };
        let inner = inner.strip_suffix(')').unwrap_or(inner);
        let parts = crate::response::fields(inner, 0);
        if parts.len() < 4 || !parts.iter().any(|p| p.quoted) {
            continue;
        }
        let Some(stat) = parts[0].small().filter(|&s| s <= 3) else { continue };
        let name = [1, 2].iter().map(|&i| parts[i].text).find(|t| !t.is_empty()).unwrap_or("");
        networks.push(ScannedNetwork {
            stat,
            plmn: parts[3].text.to_owned(),
            name: name.to_owned(),
            act: parts.get(4).and_then(|p| p.small()),
        });
    }
    // The allowed modes alone are no search result; behind two commas they follow an empty list
    // (TS 27.007 §7.3).
    let empty = reply.body.is_empty() || reply.body.trim_start().starts_with(",,");
    if !networks.is_empty() || empty {
        facts.push(Fact::Scan(networks), reply.span);
    }
    Read::Understood
}

fn flag(reply: &Response<'_>, at: usize) -> Option<u8> {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return None;
    }
    reply.fields().get(at).and_then(|f| f.small())
}

fn cgatt(reply: &Response<'_>, facts: &mut Facts) -> Read {
    match flag(reply, 0) {
        Some(state @ (0 | 1)) => facts.push(Fact::Attached(state == 1), reply.span),
        Some(_) => return Read::UnknownForm,
        None => {}
    }
    Read::Understood
}

fn cemode(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if let Some(mode) = flag(reply, 0).filter(|&m| m <= 3) {
        facts.push(Fact::UsageMode(mode), reply.span);
    }
    Read::Understood
}

fn cpsms(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if let Some(mode) = flag(reply, 0).filter(|&m| m <= 2) {
        facts.push(Fact::PowerSaving(mode == 1), reply.span);
    }
    Read::Understood
}

fn cscon(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let at = usize::from(fields.len() > 1 && reply.form != Form::Unsolicited);
    if let Some(mode) = flag(reply, at).filter(|&m| m <= 1) {
        facts.push(Fact::RadioConnected(mode == 1), reply.span);
    }
    Read::Understood
}

fn ws46(reply: &Response<'_>, facts: &mut Facts) -> Read {
    use Rat::{Gsm, Lte, Nr, Utra};
    let Some(n) = flag(reply, 0) else { return Read::Understood };
    let allowed: &[Rat] = match n {
        12 => &[Gsm],
        22 => &[Utra],
        25 => &[Gsm, Utra, Lte],
        28 => &[Lte],
        29 => &[Gsm, Utra],
        30 => &[Gsm, Lte],
        31 => &[Utra, Lte],
        36 => &[Nr],
        37 => &[Lte, Nr],
        _ => return Read::UnknownForm,
    };
    facts.push(Fact::AllowedTechnologies(allowed.to_vec()), reply.span);
    Read::Understood
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::standard::tests::facts_of;

    #[test]
    fn a_list_of_networks_is_read_and_the_ranges_behind_it_are_not() {
        let facts = facts_of(
            r#"+COPS: (2,"Weir Mobile","Weir","00101",7),(3,"Ford Net","Ford","99970",7),,(0,1,2,3,4),(0,1,2)"#,
        );
        let Fact::Scan(list) = &facts[0] else { panic!("{facts:?}") };
        assert_eq!(list.len(), 2);
        assert_eq!((list[1].stat, list[1].plmn.as_str()), (3, "99970"));
    }

    #[test]
    fn the_state_of_choice_is_read_with_and_without_a_network() {
        assert!(facts_of("+COPS: 2").contains(&Fact::Operator(Operator {
            mode: 2,
            name: None,
            act: None
        })));
        assert!(facts_of("+COPS: 0,2,\"00101\",7").contains(&Fact::word(
            Quantity::Mnc,
            "01".into(),
            Cell::Serving
        )));
    }
}
