//! Tests of the card responses: codes, dressings, truncation, and what is written read back.

use super::*;
use crate::response::Form;
use crate::response::standard::tests::{facts_of, with_response};
use proptest::prelude::*;

#[test]
fn a_state_is_read_before_what_came_next() {
    let says = |line: &str, sim| facts_of(line).contains(&Fact::Sim(sim));
    assert!(says("+CPIN: READY  SMS DONE card online", Sim::Ready));
    assert!(says("+CPIN: SIM PIN and then nothing", Sim::PinRequired));
    assert!(says("+CPIN: NOT READY yet", Sim::Busy));
    assert!(facts_of("+CPIN: what is this").is_empty());
}

#[test]
fn a_dressed_code_is_the_code_or_nothing() {
    let state = |line: &str| {
        facts_of(line).into_iter().find_map(|fact| match fact {
            Fact::Sim(sim) => Some(sim),
            _ => None,
        })
    };
    for line in [
        "+CPIN: READY}",
        "+CPIN: READY....OK..",
        "+CPIN: \"READY\"",
        "+CPIN: READYOK",
        "+CPIN:READY",
        "+CPIN: ready",
        "+CPIN: READY\\r\\n",
        "+CPIN: READY<CR>",
        "+CPIN: READY // fine",
        "+CPIN: READY.",
    ] {
        assert_eq!(state(line), Some(Sim::Ready), "{line}");
    }
    assert_eq!(state("+CPIN: SIM_PIN2"), Some(Sim::SecondCodeRequired));
    assert_eq!(state("+CPIN: EMPTY_EUICC"), Some(Sim::NoProfile));
    for line in [
        "+CPIN: READ",
        "+CPIN: READYX",
        "+CPIN: READY?",
        "+CPIN: SIM",
        "+CPIN: READY or SIM PIN",
        "+CPIN: NOT",
    ] {
        assert_eq!(state(line), None, "{line}");
    }
}

#[test]
fn numbers_of_the_card_have_their_length() {
    assert_eq!(facts_of("+CIMI: 001010000000001"), [Fact::Imsi("001010000000001".into())]);
    assert!(facts_of("+CIMI: 0010100000000").is_empty());
    assert_eq!(
        facts_of("+CCID: \"89000000000000000012\"OK"),
        [Fact::Iccid("89000000000000000012".into())]
    );
    assert!(facts_of("+CCID: \"890000000000").is_empty());
    assert!(facts_of("+CRSM: 144,0,\"98101").is_empty());
}

proptest! {
    #[test]
    fn what_is_written_is_read_back(at in 0..CODES.len(), retries in 0u8..=10, whole in any::<Option<u8>>(), data in "([0-9A-F]{2}){1,20}") {
        let code = Spanned::from(CODES[at]);
        let cpin = Cpin { code };
        prop_assert_eq!(with_response(&cpin.to_string(), Form::Read, Cpin::parse), Ok(cpin));
        let default_retries = whole.filter(|n| *n < 100).map(Spanned::from);
        let cpinr = Cpinr { code, retries: retries.into(), default_retries };
        prop_assert_eq!(with_response(&cpinr.to_string(), Form::Read, Cpinr::parse), Ok(cpinr));
        let crsm = Crsm { status: [144.into(), 0.into()], data: Some(data.into()) };
        prop_assert_eq!(with_response(&crsm.to_string(), Form::Read, Crsm::parse), Ok(crsm));
    }

    #[test]
    fn a_code_cut_anywhere_is_that_code_or_none(at in 0..CODES.len(), cut in 0usize..20) {
        let whole = Cpin { code: CODES[at].into() };
        let line = whole.to_string();
        let cut = (7 + cut).min(line.len());
        let read = with_response(&line[..cut], Form::Read, |r| Cpin::parse(&Response { open: true, ..*r }));
        prop_assert!(read.map_or(true, |r| r.code.1 == whole.code.1), "{}", &line[..cut]);
    }
}
