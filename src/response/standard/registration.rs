//! `+CREG`, `+CGREG`, `+CEREG`, `+C5GREG`: registration states, with place, technology and cause.
//!
//! TS 27.007 §7.2, §10.1.20, §10.1.22, §10.1.47. The read form begins with the report mode, the
//! unsolicited form with the state:
//!
//! ```text
//! read        = <n>,<stat>[,[<area>],[<cell>],[<AcT>][,…][,<cause_type>,<reject_cause>]]
//! unsolicited = <stat>[,[<area>],[<cell>],[<AcT>][,…][,<cause_type>,<reject_cause>]]
//! ```

use crate::case::{CauseKind, Cell, Domain, Fact, Facts, Quantity, Registration, Reject, Sim};
use crate::response::{Family, Field, Form, Read, Response, fields};
use compact_str::CompactString;

const YIELDS: &[Quantity] = &[
    Quantity::RegistrationStat,
    Quantity::TacHex,
    Quantity::CellId,
    Quantity::Act,
    Quantity::RejectCause,
];

pub(crate) static CIRCUIT: Family = family(&["+CREG", "CREG"], "AT+CREG?", "TS 27.007 §7.2");
pub(crate) static PACKET: Family = family(&["+CGREG", "CGREG"], "AT+CGREG?", "TS 27.007 §10.1.20");
pub(crate) static EPS: Family = family(&["+CEREG", "CEREG"], "AT+CEREG?", "TS 27.007 §10.1.22");
pub(crate) static FIVE_G: Family =
    family(&["+C5GREG", "C5GREG"], "AT+C5GREG?", "TS 27.007 §10.1.47");

const fn family(
    heads: &'static [&'static str],
    request: &'static str,
    source: &'static str,
) -> Family {
    Family { heads, request, source, about: "registration state", yields: YIELDS, read }
}

fn domain(head: &str) -> Domain {
    // The second letter of the name tells.
    match head.strip_prefix('+').unwrap_or(head).as_bytes() {
        [_, b'G' | b'g', ..] => Domain::Packet,
        [_, b'E' | b'e', ..] => Domain::Eps,
        [_, b'5', ..] => Domain::FiveG,
        _ => Domain::Circuit,
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    match dotted(reply.body) {
        Some((mode, stat)) => {
            let at = reply.body_at;
            let mut apart = fields(mode, at);
            apart.extend(fields(stat, at + mode.len() + 1));
            state(reply, &apart, facts)
        }
        None => state(reply, reply.fields(), facts),
    }
}

/// The state in the fields of a reply, and what stands behind it.
fn state(reply: &Response<'_>, fields: &[Field<'_>], facts: &mut Facts) -> Read {
    let Some(stat_at) = stat_index(fields, reply.form) else { return Read::UnknownForm };
    let Some(stat) = fields[stat_at].small() else { return Read::UnknownForm };
    let domain = domain(reply.head);
    let rest = &fields[stat_at + 1..];
    let span = reply.span;
    let act = access_technology(rest);
    facts.push(
        Fact::Registration(Registration {
            domain,
            stat,
            act,
            unsolicited: stat_at == 0 && fields.len() != 1 || reply.form == Form::Unsolicited,
        }),
        span,
    );
    facts.number(Quantity::RegistrationStat, f64::from(stat), Cell::Serving, fields[stat_at].span);
    if stat == 90 {
        // One maker's own number for a card that failed.
        facts.push(Fact::Sim(Sim::Failure), span);
    }
    place(rest, facts);
    if let Some(act) = act {
        facts.number(Quantity::Act, f64::from(act), Cell::Serving, span);
    }
    cause(domain, stat, rest, facts);
    Read::Understood
}

/// `0.3`, as some people write what they saw: mode and state.
fn dotted(body: &str) -> Option<(&str, &str)> {
    let [mode, b'.', ..] = body.as_bytes() else { return None };
    let rest = &body[2..];
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let ends = !rest[digits..].starts_with(|c: char| c.is_ascii_alphanumeric() || c == '.');
    (mode.is_ascii_digit() && matches!(digits, 1 | 2) && ends)
        .then(|| (&body[..1], &rest[..digits]))
}

/// Where the state stands: behind the report mode, unless the reply came by itself.
fn stat_index(fields: &[Field<'_>], form: Form) -> Option<usize> {
    let small = |i: usize| {
        fields.get(i).is_some_and(|f| !f.quoted && f.text.len() <= 2 && f.small().is_some())
    };
    if !small(0) {
        return None;
    }
    if fields.len() == 1 {
        return Some(0);
    }
    let mode_fits = fields[0].small().is_some_and(|n| n <= 5);
    match form {
        Form::Unsolicited if fields.len() != 2 => Some(0),
        _ if mode_fits && small(1) => Some(1),
        _ => Some(0),
    }
}

/// Area and cell, quoted or not; all-F and zero cells say "not known".
fn place(rest: &[Field<'_>], facts: &mut Facts) {
    let Some(area) = rest.first() else { return };
    let known = |digits: &str| {
        !digits.bytes().all(|b| b == b'F' || b == b'f') && !digits.bytes().all(|b| b == b'0')
    };
    let Some(digits) =
        area.hex_digits().filter(|d| d.len() <= 6 && known(d) && !d.eq_ignore_ascii_case("FFFE"))
    else {
        return;
    };
    // Some makers print a second code between area and cell: the cell is the longest.
    let cell = rest[1..]
        .iter()
        .take(2)
        .filter(|f| f.quoted == area.quoted)
        .filter_map(|f| f.hex_digits().map(|d| (f, d)))
        .max_by_key(|(_, d)| d.len());
    if let Some((field, cell)) = cell.filter(|(_, d)| known(d) && d.len() >= 3) {
        let mut code = CompactString::new(digits);
        code.make_ascii_uppercase();
        facts.push(Fact::word(Quantity::TacHex, code, Cell::Serving), area.span);
        if let Ok(id) = u64::from_str_radix(cell, 16) {
            facts.number(Quantity::CellId, id as f64, Cell::Serving, field.span);
        }
    }
}

fn access_technology(rest: &[Field<'_>]) -> Option<u8> {
    // Behind area and cell; a quoted number there is a code.
    rest.iter().skip(2).take(2).find(|f| !f.quoted).and_then(|f| f.small()).filter(|&a| a <= 20)
}

fn cause(domain: Domain, stat: u8, rest: &[Field<'_>], facts: &mut Facts) {
    // Cause type and cause are the fourth and fifth behind the state in the standard form; `+CGREG`
    // has the routing area before them, `+C5GREG` the allowed slices with their length, and some
    // replies leave the place out altogether.
    let places = if domain == Domain::FiveG { [5usize, 3, 0] } else { [3, 4, 0] };
    let pair = places.into_iter().find_map(|i| {
        let kind = rest.get(i)?;
        let value = rest.get(i + 1)?;
        let plain = !kind.quoted && !value.quoted && !value.text.is_empty();
        (plain && kind.text == "0" && (i != 0 || rest.len() == 2)).then_some(value)
    });
    let Some(field) = pair else { return };
    let Some(cause) = field.small().filter(|&c| c > 0) else { return };
    let kind = match domain {
        Domain::Circuit => CauseKind::Mm,
        Domain::Packet => CauseKind::Gmm,
        Domain::Eps => CauseKind::Emm,
        Domain::FiveG => CauseKind::FiveGmm,
    };
    facts.push(Fact::Reject(Reject { kind, cause, history: matches!(stat, 1 | 5) }), field.span);
    facts.number(Quantity::RejectCause, f64::from(cause), Cell::Serving, field.span);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::standard::tests::{facts_of, facts_of_form};

    fn state(line: &str, form: Form) -> u8 {
        facts_of_form(line, form)
            .into_iter()
            .find_map(|f| match f {
                Fact::Registration(r) => Some(r.stat),
                _ => None,
            })
            .unwrap()
    }

    #[test]
    fn the_first_number_is_the_mode_unless_the_line_came_by_itself() {
        assert_eq!(state("+CREG: 0,1", Form::Read), 1);
        assert_eq!(state("+CREG: 2,5,\"1A2B\",\"0001C3D4\",7", Form::Read), 5);
        assert_eq!(state("+CEREG: 2", Form::Unsolicited), 2);
        assert_eq!(state("+CEREG: 1,\"1A2B\",\"0001C3D4\",7", Form::Unsolicited), 1);
        assert_eq!(state("+CGREG: 0.3", Form::Unknown), 3);
    }

    #[test]
    fn a_cause_behind_empty_fields_is_no_access_technology() {
        let technology = |line| {
            facts_of(line).into_iter().find_map(|f| match f {
                Fact::Registration(r) => r.act,
                _ => None,
            })
        };
        assert_eq!(technology("+CEREG: 3,3,,,,0,15"), None);
        assert_eq!(technology("+CEREG: 3,2,\"1A2B\",\"0001C3D4\",7,0,15"), Some(7));
    }

    #[test]
    fn a_cause_is_read_with_and_without_a_place() {
        let reject = Fact::Reject(Reject { kind: CauseKind::Emm, cause: 15, history: false });
        assert!(facts_of("+CEREG: 3,3,,,,0,15").contains(&reject));
        assert!(facts_of("+CEREG: 3,2,\"1A2B\",\"0001C3D4\",7,0,15").contains(&reject));
    }

    #[test]
    fn a_cause_of_the_5g_system_stands_behind_the_slices() {
        let reject =
            |cause| Fact::Reject(Reject { kind: CauseKind::FiveGmm, cause, history: false });
        for line in [
            "+C5GREG: 3,3,\"000A11\",\"0003A2B1\",11,0,,0,11",
            "+C5GREG: 3,3,\"000A11\",\"0003A2B1\",11,4,\"01.000001\",0,11",
            "+C5GREG: 3,3,\"000A11\",\"0003A2B1\",11,0,11",
        ] {
            assert!(facts_of(line).contains(&reject(11)), "{line}");
        }
        let none = facts_of("+C5GREG: 2,1,\"000A11\",\"0003A2B1\",11,4,\"01.000001\"");
        assert!(!none.iter().any(|f| matches!(f, Fact::Reject(_))), "{none:?}");
    }

    #[test]
    fn a_range_is_no_state() {
        assert!(facts_of("+CREG: (0-2)").is_empty());
    }
}
