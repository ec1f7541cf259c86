//! `+COPS`: the network in use and how it is chosen, and the networks of a search (TS 27.007 §7.3).
//!
//! ```text
//! read = <mode>[,<format>,<oper>[,<AcT>]]
//! test = *( "(" <stat>,<long>,<short>,<numeric>[,<AcT>] ")" "," ) "," "(" modes ")" "," "(" formats ")"
//! ```

use crate::case::{Cell, Fact, Facts, Operator, Quantity, Rat, ScannedNetwork};
use crate::response::grammar::{self, Input, Parsed, Spanned, next, number, optional};
use crate::response::{Family, FieldError, Read, Response};
use compact_str::CompactString;
use std::fmt;

pub(crate) static COPS: Family = Family {
    prefixes: &["+COPS", "COPS"],
    request: "+COPS?",
    source: "TS 27.007 §7.3",
    about: "the network in use and how it is chosen",
    yields: &[Quantity::Mcc, Quantity::Mnc, Quantity::Act],
    read: cops,
};
/// The operator in use.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cops {
    /// 0 automatic, 1 manual, 2 deregistered, 3 format only, 4 manual then automatic.
    pub mode: Spanned<u8>,
    /// The format and the name or code; `None` while there is none.
    pub operator: Option<(Spanned<u8>, Spanned<CompactString>)>,
    /// Access technology.
    pub act: Option<Spanned<u8>>,
}

impl Cops {
    /// Reads a response of the read form.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, mode) = number("mode", 0..=4)(input)?;
            if grammar::is_sentence(rest) {
                return Ok((rest, Self { mode, operator: None, act: None }));
            }
            let (rest, format) = optional(number("format", 0..=2))(rest)?;
            let (rest, operator) = match format {
                // The name follows its format; that there is none is known at the end of the line alone.
                Some(format) => {
                    let (rest, name) = next("oper", grammar::name("oper"))(rest)?;
                    (rest, Some((format, name.to_compact())))
                }
                None if grammar::is_cut(rest) => {
                    return grammar::fail(rest, "format", "a complete line");
                }
                None => (optional(grammar::any)(rest)?.0, None),
            };
            let (rest, act) = optional(number("AcT", 0..=20))(rest)?;
            let (rest, _) = grammar::remaining(rest)?;
            Ok((rest, Self { mode, operator, act }))
        })
    }
}

impl fmt::Display for Cops {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+COPS: {}", self.mode)?;
        if let Some((format, name)) = &self.operator {
            write!(f, ",{format},\"{name}\"")?;
        }
        self.act.map_or(Ok(()), |act| write!(f, ",{act}"))
    }
}

fn cops(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.starts_with(",,") {
        return scan(reply, facts);
    }
    // A host that leaves out mode and format gives the code alone: no mode has five digits.
    let code = reply.body.trim();
    if matches!(code.len(), 5 | 6) && code.bytes().all(|b| b.is_ascii_digit()) && !reply.open {
        facts.push(Fact::word(Quantity::Mcc, code[..3].into(), Cell::Serving), reply.span);
        facts.push(Fact::word(Quantity::Mnc, code[3..].into(), Cell::Serving), reply.span);
        return Read::Understood;
    }
    Cops::parse(reply).map(|cops| note(cops, reply, facts)).into()
}

fn note(cops: Cops, reply: &Response<'_>, facts: &mut Facts) {
    let act = cops.act.map(|a| *a);
    let name = cops.operator.filter(|(_, name)| !name.is_empty());
    if let Some((format, name)) = &name {
        let digits = (5..=6).contains(&name.len()) && name.bytes().all(|b| b.is_ascii_digit());
        if **format == 2 && digits {
            facts.push(Fact::word(Quantity::Mcc, name[..3].into(), Cell::Serving), name.span);
            facts.push(Fact::word(Quantity::Mnc, name[3..].into(), Cell::Serving), name.span);
        }
    }
    if let Some(act) = act {
        facts.number(Quantity::Act, f64::from(act), Cell::Serving, reply.span);
        if let Some(rat) = Rat::from_act(act) {
            facts.push(Fact::Technology(rat), reply.span);
        }
    }
    let name = name.map(|(_, name)| name.value.into());
    facts.push(Fact::Operator(Operator { mode: *cops.mode, name, act }), reply.span);
}

/// The networks of a search.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Search {
    /// One entry a network.
    pub networks: Vec<ScannedNetwork>,
    /// Whether the list of modes behind the networks is there: what is not listed was not found.
    pub complete: bool,
}

impl Search {
    /// Reads a response of the test form.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |mut input| {
            let mut networks = Vec::new();
            while input.fragment().starts_with('(') && !grammar::is_range(input) {
                let (rest, network) = entry(input)?;
                networks.push(network);
                let Some(behind) = grammar::comma(rest) else {
                    return Ok((rest, Self { networks, complete: false }));
                };
                input = behind;
            }
            // Two commas part the networks from the modes and formats that may be set.
            let complete = input.fragment().starts_with(',') || grammar::is_range(input);
            if !complete && !grammar::skip(input).fragment().is_empty() {
                return grammar::fail(input, "network", "an opening bracket");
            }
            let (rest, _) = grammar::free(input)?;
            Ok((rest, Self { networks, complete }))
        })
    }
}

fn entry(input: Input<'_>) -> Parsed<'_, ScannedNetwork> {
    let inner = grammar::skip(grammar::behind(input, 1));
    let (rest, stat) = number("stat", 0..=3)(inner)?;
    let (rest, long) = optional(grammar::name("long name"))(rest)?;
    let (rest, short) = optional(grammar::name("short name"))(rest)?;
    let (rest, code) = optional(grammar::name("numeric name"))(rest)?;
    let (rest, act) = optional(number("AcT", 0..=20))(rest)?;
    let (rest, _) = grammar::remaining(rest)?;
    let rest = grammar::skip(rest);
    if !rest.fragment().starts_with(')') {
        return grammar::fail(rest, "network", "a closing bracket");
    }
    let code = code.map_or("", |c| c.value);
    if !code.bytes().all(|b| b.is_ascii_digit()) {
        return grammar::fail(inner, "numeric name", "digits");
    }
    let name =
        [long, short].into_iter().flatten().map(|n| n.value).find(|n| !n.is_empty()).unwrap_or("");
    let network = ScannedNetwork {
        stat: *stat,
        plmn: code.to_owned(),
        name: name.to_owned(),
        act: act.map(|a| *a),
    };
    Ok((grammar::behind(rest, 1), network))
}

impl fmt::Display for Search {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("+COPS: ")?;
        for ScannedNetwork { stat, plmn, name, act } in &self.networks {
            write!(f, "({stat},\"{name}\",\"{name}\",\"{plmn}\"")?;
            act.map_or(Ok(()), |act| write!(f, ",{act}"))?;
            f.write_str("),")?;
        }
        f.write_str(",(0,1,2,3,4),(0,1,2)")
    }
}

fn scan(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let search = match Search::parse(reply) {
        Ok(search) => search,
        Err(error) => return Read::Misread(error),
    };
    // The allowed modes alone are no search result; behind two commas they follow an empty list.
    let empty = !reply.open && (reply.body.is_empty() || reply.body.starts_with(",,"));
    if empty || !search.networks.is_empty() && (search.complete || !reply.open) {
        facts.push(Fact::Scan(search.networks), reply.span);
    }
    Read::Understood
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::Form;
    use crate::response::standard::tests::{facts_of, with_response};
    use proptest::prelude::*;

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

    #[test]
    fn a_name_in_any_dressing_is_the_name_or_nothing() {
        let name = |line: &str| {
            facts_of(line).into_iter().find_map(|fact| match fact {
                Fact::Operator(operator) => operator.name,
                _ => None,
            })
        };
        for line in [
            "+COPS: 0,0,\"Weir Mobile\",7",
            "+COPS: 0,0,\"Weir Mobile\",7}",
            "+COPS: 0,0,\"Weir Mobile\"....OK..",
            "+COPS: 0, 0, \"Weir Mobile\", 7 <- that is mine",
            "+COPS: 0,0,Weir Mobile,7",
            "+COPS: 0,0,“Weir Mobile”,7",
            "+COPS: 0,0,\\\"Weir Mobile\\\",7",
        ] {
            assert_eq!(name(line).as_deref(), Some("Weir Mobile"), "{line}");
        }
        for line in [
            "+COPS: 0,0,\"Weir Mob",
            "+COPS: 0,0",
            "+COPS: 0,",
            "+COPS: 5,0,\"x\",7",
            "+COPS: 0,0,Weir Mobile",
        ] {
            assert!(
                !facts_of(line).iter().any(|f| matches!(f, Fact::Operator(o) if o.name.is_some())),
                "{line}"
            );
        }
    }

    #[test]
    fn a_list_of_networks_is_whole_or_nothing() {
        assert_eq!(facts_of("+COPS: ,,(0-4),(0-2)"), [Fact::Scan(Vec::new())]);
        assert!(facts_of("+COPS: (2,\"Weir Mobile\",\"Weir\",\"00101\",7),(3,\"Ford").is_empty());
        assert!(facts_of("+COPS: (2,\"Weir Mobile\",\"Weir\",\"001x1\",7)").is_empty());
        assert!(facts_of("+COPS: (0,1,2,3,4),(0,1,2)").is_empty());
        assert!(facts_of("+COPS: (0-4),(0-2)").is_empty());
    }

    fn network() -> impl Strategy<Value = ScannedNetwork> {
        (0u8..=3, "[0-9]{5,6}", "[A-Za-z ]{0,12}", proptest::option::of(0u8..=12))
            .prop_map(|(stat, plmn, name, act)| ScannedNetwork { stat, plmn, name, act })
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(
            mode in 0u8..=4,
            name in proptest::option::of("[A-Za-z0-9 ]{1,16}"),
            networks in proptest::collection::vec(network(), 1..5),
        ) {
            let operator = name.map(|n| (0.into(), CompactString::from(n).into()));
            let act = operator.as_ref().map(|_| 7.into());
            let cops = Cops { mode: mode.into(), operator, act };
            prop_assert_eq!(with_response(&cops.to_string(), Form::Read, Cops::parse), Ok(cops));
            let search = Search { networks, complete: true };
            prop_assert_eq!(with_response(&search.to_string(), Form::Test, Search::parse), Ok(search));
        }

        #[test]
        fn a_search_cut_anywhere_is_whole_or_nothing(networks in proptest::collection::vec(network(), 1..4), cut in 0usize..120) {
            let whole = Search { networks, complete: true };
            let line = whole.to_string();
            let cut = (7 + cut).min(line.len());
            let found = with_response(&line[..cut], Form::Test, |r| {
                let mut facts = Facts::default();
                let _ = scan(&Response { open: true, ..*r }, &mut facts);
                facts.drain().map(|(fact, _)| fact).collect::<Vec<_>>()
            });
            prop_assert!(found.is_empty() || found == [Fact::Scan(whole.networks)]);
        }
    }
}
