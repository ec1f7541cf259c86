//! The access point name of a module's own sessions, where a vendor's command or its response gives it.
//!
//! ```text
//! +QICSGP=<cid>,<type>,"<name>"[,…]      +CNCFG=<id>,<type>,"<name>"[,…]      +CSTT="<name>"[,…]
//! +MIPCALL=1,"<name>"      +CNACT=1,"<name>"      ^NDISDUP=<cid>,1,"<name>"[,…]
//! +UPSD=<profile>,1,"<name>"              +KCNXCFG=<id>,"GPRS","<name>"[,…]    +SAPBR=3,<cid>,"APN","<name>"
//! ```
//!
//! From memory. The first two count types: 1 IPv4, 2 IPv6, 3 both.

use crate::case::{Cell, ContextDefinition, Fact, Facts, Quantity};
use crate::response::{Field, fields};
use compact_str::CompactString;

/// The type of address that a number stands for.
fn kind(number: &str) -> &'static str {
    match number {
        "1" => "IP",
        "2" => "IPV6",
        "3" => "IPV4V6",
        _ => "",
    }
}

/// What a context is whose name is this field.
pub(super) fn definition(cid: u8, kind: &str, name: &Field<'_>, set: bool) -> ContextDefinition {
    ContextDefinition { cid, kind: CompactString::new(kind), apn: name.text.into(), set }
}

/// Notes the name that a command set; `at` is where the command begins.
pub(crate) fn set(command: &str, at: usize, facts: &mut Facts) {
    let Some((cid, kind, name)) = named(command, at) else { return };
    if name.quoted && !name.text.is_empty() {
        facts.push(Fact::Context(definition(cid, kind, &name, true)), name.span);
        facts.push(Fact::word(Quantity::Apn, name.text.into(), Cell::Serving), name.span);
    }
}

/// Whether a command sets such a name.
pub(crate) fn sets(command: &str) -> bool {
    named(command, 0).is_some()
}

/// The context, the type and the name that a command sets.
fn named(command: &str, at: usize) -> Option<(u8, &'static str, Field<'_>)> {
    const NAMES: [&str; 9] = [
        "+QICSGP", "+CNCFG", "+CSTT", "+UPSD", "+KCNXCFG", "+SAPBR", "+MIPCALL", "+CNACT",
        "^NDISDUP",
    ];
    let (name, values) = command.split_once('=')?;
    let name = name.trim();
    let known = NAMES.iter().find(|known| known.eq_ignore_ascii_case(name))?;
    let row = fields(values, at + command.len() - values.len());
    let text = |n: usize| row.get(n).map_or("", |f| f.text);
    let number = |n: usize| text(n).parse::<u8>().ok().filter(|cid| (1..=24).contains(cid));
    let from_zero = || text(0).parse::<u8>().ok().filter(|n| *n < 8).map(|n| n + 1);
    Some(match *known {
        "+QICSGP" => (number(0)?, kind(text(1)), *row.get(2)?),
        "+CNCFG" => (from_zero()?, kind(text(1)), *row.get(2)?),
        "+CSTT" => (1, "IP", row[0]),
        "+UPSD" if text(1) == "1" => (from_zero()?, "IP", *row.get(2)?),
        "+KCNXCFG" => (number(0)?, "IP", *row.get(2)?),
        "+SAPBR" if text(0) == "3" && text(2).eq_ignore_ascii_case("APN") => {
            (number(1)?, "IP", *row.get(3)?)
        }
        // The state before the name: 1 opens.
        "+MIPCALL" | "+CNACT" if text(0) == "1" => (1, "IP", *row.get(1)?),
        "^NDISDUP" if text(1) == "1" => (number(0)?, "IP", *row.get(2)?),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;

    fn name(text: &str) -> Option<String> {
        let case = Case::read(&Capture::new(text));
        case.sessions.contexts.get(&1).and_then(|h| h.latest()).map(|o| o.value.apn.to_string())
    }

    #[test]
    fn the_name_that_a_command_set_is_the_context_s() {
        let set = |command: &str| name(&format!("AT{command}\nOK\n"));
        let gauges = Some("gauges.example".to_owned());
        assert_eq!(set("+QICSGP=1,1,\"gauges.example\",\"\",\"\",0"), gauges);
        assert_eq!(set("+CNCFG=0,1,\"gauges.example\""), gauges);
        assert_eq!(set("+CSTT=\"gauges.example\""), gauges);
        assert_eq!(set("+UPSD=0,1,\"gauges.example\""), gauges);
        assert_eq!(set("+KCNXCFG=1,\"GPRS\",\"gauges.example\""), gauges);
        assert_eq!(set("+SAPBR=3,1,\"APN\",\"gauges.example\""), gauges);
        assert_eq!(set("+MIPCALL=1,\"gauges.example\""), gauges);
        assert_eq!(set("+CNACT=1,\"gauges.example\""), gauges);
        assert_eq!(set("+CNACT=0,1"), None);
        assert_eq!(set("^NDISDUP=1,1,\"gauges.example\""), gauges);
        assert_eq!(set("+SAPBR=3,1,\"CONTYPE\",\"GPRS\""), None);
        assert_eq!(name("AT+CSTT=\"gauges.example\"\nERROR\n"), None);
    }
}
