//! What stands round a response in logs, mail and terminals never changes its values; it may lose them, seldom.
//!
//! Responses and dressings are invented; the dressings are common practice, no source.

use mastside::capture::Capture;
use mastside::case::{Case, Value};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// A request, and a response in the form of its clause.
const RESPONSES: &[(&str, &str)] = &[
    ("+CREG?", "+CREG: 0,1"),
    ("+CREG?", "+CREG: 2,5,\"0A11\",\"0003A2B1\",7"),
    ("+CGREG?", "+CGREG: 0,3"),
    ("+CGREG?", "+CGREG: 2,1,\"0A11\",\"0003A2B1\",7,\"01\""),
    ("+CEREG?", "+CEREG: 0,2"),
    ("+CEREG?", "+CEREG: 3,3,,,,0,15"),
    ("+CEREG?", "+CEREG: 5,1,\"0A11\",\"0003A2B1\",9,,,\"00100100\",\"01000111\""),
    ("+C5GREG?", "+C5GREG: 2,1,\"000A11\",\"0003A2B1\",11,4,\"01.000001\""),
    ("+CSQ", "+CSQ: 17,99"),
    ("+CESQ", "+CESQ: 99,99,255,255,20,48"),
    ("+CPIN?", "+CPIN: READY"),
    ("+CPIN?", "+CPIN: SIM PIN"),
    ("+CPIN?", "+CPIN: PH-NET PIN"),
    ("+CPINR", "+CPINR: SIM PIN,3,3"),
    ("+CFUN?", "+CFUN: 1"),
    ("+CFUN?", "+CFUN: 4"),
    ("+CGATT?", "+CGATT: 1"),
    ("+COPS?", "+COPS: 0,2,\"00101\",7"),
    ("+COPS?", "+COPS: 0,0,\"Weir Mobile\",7"),
    ("+COPS?", "+COPS: 2"),
    (
        "+COPS=?",
        "+COPS: (2,\"Weir Mobile\",\"Weir\",\"00101\",7),(3,\"Ford Net\",\"Ford\",\"99970\",7),,(0,1,2,3,4),(0,1,2)",
    ),
    ("+CGDCONT?", "+CGDCONT: 1,\"IP\",\"gauges.example\",\"0.0.0.0\",0,0,0,0"),
    ("+CGDCONT?", "+CGDCONT: 2,\"IPV4V6\",\"\",\"0.0.0.0\",0,0"),
    ("+CGACT?", "+CGACT: 1,1"),
    ("+CGACT?", "+CGACT: 2,0"),
    ("+CGPADDR=1", "+CGPADDR: 1,\"192.0.2.7\""),
    ("+CGPADDR=1", "+CGPADDR: 1,192.0.2.7"),
    (
        "+CGCONTRDP=1",
        "+CGCONTRDP: 1,5,\"gauges.example\",\"192.0.2.7.255.255.255.0\",\"192.0.2.1\"",
    ),
    ("+CEMODE?", "+CEMODE: 2"),
    ("+CPSMS?", "+CPSMS: 1,,,\"01000111\",\"00100100\""),
    ("+WS46?", "+WS46: 28"),
    ("+CLCK=\"SC\",2", "+CLCK: 1"),
    ("+CIMI", "+CIMI: 001010000000001"),
    ("+CCID", "+CCID: 89000000000000000012"),
];

/// What stands round the line `@`.
const DRESSINGS: &[&str] = &[
    "@\\r\\n",
    "@\\n",
    "@\\r",
    "@<CR><LF>",
    "@<cr>",
    "@<CR>",
    "@<0D><0A>",
    "@<0x0d>",
    "@^M",
    "@^M^J",
    "@\\x0d\\x0a",
    "@\\u000d\\u000a",
    "@␍␊",
    "@↵",
    "@¶",
    "@....OK..",
    "@..",
    "@..OK..",
    "@\u{1b}[0m",
    "\u{1b}[32m@\u{1b}[0m",
    "@[0m",
    "[32m@[0m",
    "@ // seen at noon",
    "@ # seen at noon",
    "@ ; seen at noon",
    "@ -- see below",
    "@ <- look here",
    "@ <-- this one",
    "@ -> fine",
    "@ → fine",
    "@   (from the first try)",
    "@ /* first try */",
    "@*",
    "**@**",
    "`@`",
    "\"@\"",
    "'@'",
    "‘@’",
    "“@”",
    "«@»",
    "[@]",
    "{@}",
    "(@)",
    "<@>",
    "@}",
    "@)",
    "@]",
    "@;",
    "@ |",
    "| @ |",
    "|@|",
    "@.",
    "@…",
    "@ …",
    "@!",
    "@OK",
    "@ OK",
    "@\\r\\n\\r\\nOK\\r\\n",
    "@<CR><LF><CR><LF>OK<CR><LF>",
    "'@\\r\\n'",
    "b'@\\r\\n'",
    "b'\\r\\n@\\r\\n\\r\\nOK\\r\\n'",
    "\"@\\r\\n\"",
    "RX: @",
    "RX: \"@\"",
    "<< @",
    "< @",
    "> @",
    ">> @",
    "<- @",
    "-> @",
    "[12:00:01.123] @",
    "12:00:01 @",
    "2026-03-04 12:00:01,123 @",
    "[12:00:01] RX '@'",
    "0000410077 [modem.at] < @",
    "  12| @",
    "- @",
    "* @",
    "1. @",
    "<td>@</td>",
    "<p>@</p>",
    "@<br>",
    "@&nbsp;",
    "@&#13;",
    "@%0D%0A",
    "@=0D=0A",
    "@\u{200b}",
    "\u{feff}@",
    "@\u{a0}",
    "@\t",
    "   @   ",
    "@\r",
    "\r@\r",
    "@\u{0}",
    "@~",
    "@_",
    "@+CSCON: 0",
    "@^MODE: 5",
    "modem: @",
    "[modem] @",
    "recv(@)",
    "[INFO][CELL]: AT RX (16): @",
    "Mar  4 10:00:01 hut gatewayd[812]: @",
    "@ ✓",
    "✅ @",
    "@\\\\r\\\\n",
    "{\"line\":\"@\"}",
];

/// Everything that the rules see of a text.
fn values(text: &str) -> BTreeSet<String> {
    let case = Case::read(&Capture::new(text));
    let mut found = BTreeSet::new();
    for reading in case.radio.readings.all() {
        let reading = &reading.value;
        match &reading.value {
            Value::Number(value) => found.insert(format!("{:?} {value:?}", reading.quantity)),
            Value::Word(word) => found.insert(format!("{:?} {word}", reading.quantity)),
        };
    }
    macro_rules! note {
        ($($history:expr),*) => { $( found.extend($history.all().iter().map(|o| format!("{} {:?}", stringify!($history), o.value))); )* };
    }
    note!(case.registration.rejects, case.registration.attached, case.registration.scans);
    note!(
        case.registration.usage_mode,
        case.device.functionality,
        case.device.power_saving,
        case.radio.allowed
    );
    note!(
        case.card.state,
        case.card.pin_tries,
        case.card.facilities,
        case.card.imsi,
        case.card.iccid
    );
    for operator in case.registration.operator.all() {
        let operator = &operator.value;
        found.insert(format!("operator {} {:?}", operator.mode, operator.name));
        found.extend(operator.act.map(|act| format!("operator on {act}")));
    }
    for states in case.registration.states.values() {
        found.extend(states.all().iter().map(|o| format!("state {:?}", o.value)));
    }
    for context in case.sessions.contexts.values() {
        found.extend(context.all().iter().map(|o| format!("context {:?}", o.value)));
    }
    for (cid, active) in case.sessions.active.iter() {
        found.extend(active.all().iter().map(|o| format!("active {cid:?} {:?}", o.value)));
    }
    for (cid, address) in case.sessions.addresses.iter() {
        found.extend(address.all().iter().map(|o| format!("address {cid:?} {:?}", o.value)));
    }
    found
}

#[test]
fn a_dressed_response_has_the_values_of_the_plain_one_or_none() {
    let mut kept = 0;
    let mut total = 0;
    let mut lost = Vec::new();
    let mut wrong = Vec::new();
    for (request, line) in RESPONSES {
        let plain = values(&format!("AT{request}\n{line}\nOK\n"));
        assert!(!plain.is_empty(), "{line}");
        for dressing in DRESSINGS {
            let text = format!("AT{request}\n{}\nOK\n", dressing.replace('@', line));
            let dressed = values(&text);
            total += 1;
            if dressed == plain {
                kept += 1;
            } else if dressed.is_subset(&plain) {
                lost.push((dressing, line));
            } else {
                wrong.push((
                    dressing,
                    line,
                    dressed.difference(&plain).cloned().collect::<Vec<_>>(),
                ));
            }
        }
    }
    let share = 100.0 * f64::from(kept) / f64::from(total);
    println!("{kept} of {total} keep all values: {share:.1} %");
    for (dressing, line) in &lost {
        println!("lost: {dressing:?} {line}");
    }
    assert!(total >= 1500, "{total}");
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(share >= 95.0, "{share:.1} %");
}

#[test]
fn a_text_cut_anywhere_has_the_values_of_the_whole_or_none() {
    for (request, line) in RESPONSES {
        let whole = values(&format!("AT{request}\n{line}\nOK\n"));
        for cut in (0..line.len()).filter(|&at| line.is_char_boundary(at)) {
            let text = format!("AT{request}\n{}", &line[..cut]);
            let more: Vec<_> = values(&text).difference(&whole).cloned().collect();
            // A registration without the fields behind the state has the same state.
            let more: Vec<_> = more.iter().filter(|m| !m.starts_with("state ")).collect();
            assert!(more.is_empty(), "{text:?}: {more:?}");
        }
    }
}

#[test]
fn an_error_cut_anywhere_is_that_error_or_none() {
    for number in [10u16, 14, 30, 100, 103, 107, 111, 132, 133, 148, 149] {
        let line = format!("+CME ERROR: {number}");
        let causes = |text: &str| {
            let case = Case::read(&Capture::new(text));
            let cards = case.card.state.all().iter().map(|o| format!("{:?}", o.value));
            let rejects = case.registration.rejects.all().iter().map(|o| format!("{:?}", o.value));
            let errors = case
                .exchanges
                .failures
                .all()
                .iter()
                .filter_map(|o| o.value.cme.map(|n| n.to_string()));
            cards.chain(rejects).chain(errors).collect::<BTreeSet<_>>()
        };
        let whole = causes(&format!("AT+CGACT=1,1\n{line}\n"));
        for cut in 0..line.len() {
            let part = causes(&format!("AT+CGACT=1,1\n{}", &line[..cut]));
            assert!(part.is_subset(&whole), "{}: {part:?}", &line[..cut]);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn junk_behind_a_response_takes_values_and_makes_none(
        at in 0..RESPONSES.len(),
        junk in "[^A-Za-z0-9,\\r\\n+^%#!$*&\\pC]{1,3}[a-z0-9 .,:;<>\\[\\]{}()\"'/-]{0,12}",
    ) {
        let (request, line) = RESPONSES[at];
        let whole = values(&format!("AT{request}\n{line}\nOK\n"));
        let text = format!("AT{request}\n{line}{junk}\nOK\n");
        let found = values(&text);
        let more: Vec<_> = found.difference(&whole).collect();
        prop_assert!(more.is_empty(), "{:?}: {:?}", text, more);
    }

    #[test]
    fn junk_before_a_response_takes_values_and_makes_none(
        at in 0..RESPONSES.len(),
        junk in "[a-z0-9 .,:;<>\\[\\]{}()\"'/|-]{0,12}[^A-Za-z0-9\\r\\n+^%#!$*&\\pC]",
    ) {
        let (request, line) = RESPONSES[at];
        let whole = values(&format!("AT{request}\n{line}\nOK\n"));
        let text = format!("AT{request}\n{junk}{line}\nOK\n");
        let found = values(&text);
        let more: Vec<_> = found.difference(&whole).collect();
        prop_assert!(more.is_empty(), "{:?}: {:?}", text, more);
    }
}
