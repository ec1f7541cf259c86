//! Tests of the context responses: dressings, truncation, and what is written read back.

use super::*;
use crate::response::Form;
use crate::response::standard::tests::{facts_of, facts_of_form, with_response};
use proptest::prelude::*;

#[test]
fn a_zero_address_is_no_address() {
    assert_eq!(facts_of("+CGPADDR: 1,0.0.0.0"), [Fact::Address(1, String::new())]);
    assert_eq!(facts_of("+CGPADDR: 2,\"192.0.2.7\""), [Fact::Address(2, "192.0.2.7".into())]);
}

#[test]
fn a_name_keeps_its_blanks() {
    let facts = facts_of("+CGDCONT: 1,\"IP\",\"gauges.example \",\"0.0.0.0\",0,0");
    assert!(matches!(&facts[0], Fact::Context(c) if c.apn == "gauges.example "));
}

#[test]
fn a_name_cut_inside_its_quotes_is_nothing() {
    assert!(facts_of("+CGDCONT: 1,\"IP\",\"gauges.exam").is_empty());
    assert!(facts_of("+CGDCONT: 1,\"IP\",").is_empty());
    assert!(facts_of("+CGDCONT: 1,\"IP\"").is_empty());
    assert_eq!(facts_of("+CGDCONT: 1,\"IP\",\"\",\"0.0.0.0\",0,0").len(), 1);
    assert_eq!(facts_of("+CGDCONT: 1,“IP”,“gauges.example”,“0.0.0.0”,0,0 (mine)").len(), 2);
    assert!(facts_of("+CGDCONT: (1-11),\"IP\",,,(0-2),(0-4)").is_empty());
}

#[test]
fn a_state_of_a_context_is_one_digit_and_whole() {
    assert_eq!(facts_of("+CGACT: 1,1....OK.."), [Fact::Active(1, true)]);
    for line in ["+CGACT: 1", "+CGACT: 1,", "+CGACT: 1,2", "+CGACT: 1,1a", "+CGACT: 1,1 0"] {
        assert!(facts_of(line).is_empty(), "{line}");
    }
}

#[test]
fn a_list_that_begins_in_the_middle_says_nothing_of_what_is_inactive() {
    assert!(facts_of("+CGACT: 2,0").is_empty());
    assert_eq!(facts_of("+CGACT: 2,1"), [Fact::Active(2, true)]);
    assert_eq!(facts_of("+CGACT: 1,0"), [Fact::Active(1, false)]);
    assert_eq!(facts_of_form("+CGACT: 2,0", Form::Read), [Fact::Active(2, false)]);
}

#[test]
fn an_address_that_somebody_masked_is_an_address_and_words_are_none() {
    assert_eq!(facts_of("+CGPADDR: 1,10.x.x.x"), [Fact::Address(1, "10.x.x.x".into())]);
    assert!(facts_of("+CGPADDR: 1,\"not yet\"").is_empty());
    assert_eq!(facts_of("+CGPADDR: 1"), [Fact::Address(1, String::new())]);
    assert_eq!(facts_of("+CGPADDR: 1,192.0.2.7."), [Fact::Address(1, "192.0.2.7".into())]);
}

fn name() -> impl Strategy<Value = Spanned<CompactString>> {
    "[a-z0-9. -]{0,20}".prop_map(|n: String| CompactString::from(n).into())
}

fn v4() -> impl Strategy<Value = Spanned<Address>> {
    any::<std::net::Ipv4Addr>().prop_map(|a| Address::of(&a.to_string()).unwrap().into())
}

proptest! {
    #[test]
    fn what_is_written_is_read_back(
        cid in any::<u8>(),
        kind in "IP|IPV6|IPV4V6|Non-IP",
        apn in name(),
        state in 0u8..=1,
        address in v4(),
        user in proptest::option::of(name()),
    ) {
        let cid = Spanned::from(cid);
        let definition = Cgdcont { cid, kind: CompactString::from(kind).into(), apn: apn.clone() };
        prop_assert_eq!(with_response(&definition.to_string(), Form::Read, Cgdcont::parse), Ok(definition));
        let active = Cgact { cid, state: state.into() };
        prop_assert_eq!(with_response(&active.to_string(), Form::Read, Cgact::parse), Ok(active));
        let addresses = Cgpaddr { cid, addresses: [Some(address.clone()), None] };
        prop_assert_eq!(with_response(&addresses.to_string(), Form::Read, Cgpaddr::parse), Ok(addresses));
        let given = Cgcontrdp { cid, bearer: Some(5.into()), apn: Some(apn), address: Some(address) };
        prop_assert_eq!(with_response(&given.to_string(), Form::Read, Cgcontrdp::parse), Ok(given));
        let authentication = Cgauth { cid, protocol: 1.into(), user };
        prop_assert_eq!(with_response(&authentication.to_string(), Form::Read, Cgauth::parse), Ok(authentication));
    }

    #[test]
    fn a_definition_cut_anywhere_gives_its_own_name_or_nothing(apn in name(), cut in 0usize..60) {
        let whole = Cgdcont { cid: 1.into(), kind: CompactString::from("IP").into(), apn };
        let line = whole.to_string();
        let cut = (10 + cut).min(line.len());
        let read = with_response(&line[..cut], Form::Read, |r| Cgdcont::parse(&Response { open: true, ..*r }));
        prop_assert!(read.is_err() || read == Ok(whole), "{}", &line[..cut]);
    }
}

#[test]
fn escaped_quotes_round_an_empty_text_are_read() {
    let line = r#"+CGDCONT: 1,\"IP\",\"gauges.example\",\"\",0,0"#;
    assert_eq!(with_response(line, Form::Read, |r| Cgdcont::parse(r).map(|_| ())), Ok(()));
}
