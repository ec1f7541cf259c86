//! Tests of the registration responses: forms, dressings, truncation, and what is written read back.

use super::*;
use crate::response::standard::tests::{facts_of, facts_of_form, with_response};
use proptest::prelude::*;

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
    let reject = Fact::Reject(Reject { kind: CauseList::Emm, cause: 15, history: false });
    assert!(facts_of("+CEREG: 3,3,,,,0,15").contains(&reject));
    assert!(facts_of("+CEREG: 3,2,\"1A2B\",\"0001C3D4\",7,0,15").contains(&reject));
}

#[test]
fn a_cause_of_the_5g_system_stands_behind_the_slices() {
    let reject = |cause| Fact::Reject(Reject { kind: CauseList::FiveGmm, cause, history: false });
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

#[test]
fn a_dressed_state_is_the_state_or_nothing() {
    for (line, stat) in [
        ("+CEREG: 0,1}", Some(1)),
        ("+CEREG: 0,1....OK..", Some(1)),
        ("+CEREG: 5,2 //quiet since noon", Some(2)),
        ("+CEREG: 1,0*", Some(0)),
        ("+CEREG: 2,1…", Some(1)),
        ("+CEREG: 0,3 -- look here", Some(3)),
        ("+CEREG: 0 , 3", Some(3)),
        ("+CEREG: 0,1x", None),
        ("+CEREG: 0,1?", None),
        ("+CEREG: 0,", None),
        ("+CEREG: 0,2,\"XXXX\",\"XXXXXXXX\",7", Some(2)),
        ("+CEREG: 0,3, the board was started again", Some(3)),
        ("+CGREG: 0.3, the board was started again", Some(3)),
        ("+CEREG: 3,,,,,0,15", Some(3)),
        ("+CEREG: 0,x", None),
        ("+CEREG: 0;1", None),
        ("+CEREG: 0 1", None),
        ("+CEREG: 0,1,\"0A1", None),
        ("+CEREG: 7,1", None),
    ] {
        let found = facts_of(line).into_iter().find_map(|f| match f {
            Fact::Registration(r) => Some(r.stat),
            _ => None,
        });
        assert_eq!(found, stat, "{line}");
    }
}

#[test]
fn a_field_that_is_not_of_its_type_is_named() {
    let line = "+CEREG: 0,1,\"0A1Z\",\"0003A2B1\",7";
    let error = with_response(line, Form::Read, RegistrationResponse::parse).unwrap_err();
    assert_eq!(error.to_string(), "`+CEREG`: area is \"0A1Z\", expected hexadecimal digits");
    assert_eq!(error.span.of(line), "0A1Z");
}

fn code(digits: &'static str) -> impl Strategy<Value = Option<Spanned<CompactString>>> {
    proptest::option::of(digits.prop_map(|d: String| CompactString::from(d).into()))
}

fn statuses() -> impl Strategy<Value = RegistrationResponse> {
    let domain =
        proptest::sample::select(vec![Domain::Circuit, Domain::Packet, Domain::Eps, Domain::FiveG]);
    let small = |highest: u8| proptest::option::of((0..=highest).prop_map(Spanned::from));
    (
        domain,
        small(5),
        0u8..=99,
        code("[0-9A-F]{4,6}"),
        code("[0-9A-F]{4,9}"),
        small(20),
        small(255),
    )
        .prop_map(|(domain, mode, stat, area, cell, act, cause)| RegistrationResponse {
            domain,
            mode,
            stat: stat.into(),
            area,
            cell,
            act,
            cause,
        })
}

proptest! {
    #[test]
    fn what_is_written_is_read_back(status in statuses()) {
        let form = if status.mode.is_some() { Form::Read } else { Form::Unsolicited };
        let line = status.to_string();
        let read = with_response(&line, form, RegistrationResponse::parse);
        prop_assert_eq!(read, Ok(status), "{}", line);
    }

    #[test]
    fn a_line_cut_anywhere_gives_the_states_of_the_whole_or_none(status in statuses(), cut in 0usize..60) {
        let line = status.to_string();
        let start = line.find(": ").unwrap() + 2;
        let cut = (start + cut).min(line.len());
        let form = if status.mode.is_some() { Form::Read } else { Form::Unsolicited };
        // A state of one digit may be the first of two: it is taken, because texts often end behind it.
        if let Ok(read) = with_response(&line[..cut], form, |r| RegistrationResponse::parse(&Response { open: true, ..*r })) {
            prop_assert!(*read.stat == *status.stat || *status.stat > 9, "{}", &line[..cut]);
            for (part, whole) in [(&read.area, &status.area), (&read.cell, &status.cell)] {
                prop_assert!(part.is_none() || part == whole, "{}", &line[..cut]);
            }
            prop_assert!(read.act.is_none() || read.act == status.act, "{}", &line[..cut]);
            prop_assert!(read.cause.is_none() || read.cause == status.cause, "{}", &line[..cut]);
        }
    }
}

#[test]
fn one_number_is_no_answer_to_a_read_unless_the_answer_stands_beside_it() {
    use crate::capture::Capture;
    use crate::case::Case;
    let states = |text: &str| {
        let case = Case::read(&Capture::new(text));
        case.registration
            .states
            .values()
            .flat_map(|h| h.all().iter().map(|o| o.value.stat))
            .collect::<Vec<_>>()
    };
    assert!(states("AT+CEREG?\n+CEREG: 1\nOK\n").is_empty());
    assert_eq!(states("AT+CEREG?\n+CEREG: 2\n+CEREG: 2,1\nOK\n"), [2, 1]);
    assert_eq!(states("AT+CSQ\n+CEREG: 5\n+CSQ: 17,99\nOK\n"), [5]);
}

#[test]
fn the_cell_of_new_radio_has_five_bytes() {
    use crate::capture::Capture;
    use crate::case::Case;
    // TS 27.007 §10.1.47: `<ci>` is a five byte NR cell identity in hexadecimal digits.
    let text = "AT+C5GREG?\n+C5GREG: 2,1,\"00A1F3\",\"0004D2A011\",11,1,\"01\"\nOK\n";
    let case = Case::read(&Capture::new(text));
    assert_eq!(case.stat(Domain::FiveG).map(|o| o.value.stat), Some(1));
    assert!(case.dialogue.unread.is_empty());
}
