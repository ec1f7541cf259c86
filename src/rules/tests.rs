//! Every page's examples, and what must be true of all rules together.

use super::*;
use crate::capture::Capture;
use crate::carrier::{Choice, ProfileStore};
use crate::case::Case;

/// The fenced examples of a page: label and text.
fn examples(page: &str) -> Vec<(&str, String)> {
    let mut found = Vec::new();
    let mut open: Option<(&str, String)> = None;
    for line in page.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(label)) if !label.is_empty() => open = Some((label, String::new())),
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some((_, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, _) => {}
        }
    }
    found
}

#[test]
fn every_example_on_a_page_is_judged_as_its_label_says() {
    let mut wrong = Vec::new();
    for rule in all() {
        for (label, text) in examples(rule.page) {
            let case = Case::read(&Capture::new(&text));
            // Where the card's numbers stand in an example, its carrier's shipped profile counts.
            let profiles = ProfileStore::shipped();
            let choice = Choice::make(&profiles, &case, None).unwrap();
            let site = Site::chosen(&case, &choice, &profiles);
            let first = site.with_each().into_iter().next();
            let judged = (rule.judge)(first.as_ref().unwrap_or(&site)).word();
            if judged != label {
                wrong.push(format!("{}: {judged}, not {label}:\n{text}", rule.id));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_page_shows_all_three_answers_under_the_rules_own_question() {
    for rule in all() {
        let labels: Vec<_> = examples(rule.page).into_iter().map(|(l, _)| l).collect();
        for label in ["holds", "ruled-out", "open"] {
            assert!(labels.contains(&label), "the page of {} has no example that {label}", rule.id);
        }
        assert_eq!(
            rule.page.lines().next(),
            Some(format!("# {}", rule.asks).as_str()),
            "{}",
            rule.id
        );
        for heading in ["## What shows it", "## What rules it out", "## What leaves it open"] {
            assert!(rule.page.contains(heading), "the page of {} lacks `{heading}`", rule.id);
        }
    }
}

#[test]
fn ids_never_repeat_and_stand_in_the_order_of_their_layers() {
    let ids: Vec<_> = all().map(|r| r.id).collect();
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(sorted.len(), ids.len());
    assert!(all().is_sorted_by_key(Rule::layer));
    for (rules, layer) in LAYERS.iter().zip(Layer::ALL) {
        assert!(rules.iter().all(|r| r.id.starts_with(&format!("{}/", layer.word()))), "{layer:?}");
    }
}

#[test]
fn no_rule_asks_for_anything_that_writes() {
    for rule in all() {
        for read in rule.settled_by.iter().flat_map(|group| group.commands) {
            let volatile = ["AT+CEREG=3", "AT+C5GREG=3", "AT+CMEE=2"].contains(read);
            let file = read.starts_with("AT+CRSM=176,");
            let sets = read.split_once('=').is_some_and(|(_, value)| value != "?");
            assert!(!sets || volatile || file, "{} asks for {read}", rule.id);
        }
    }
}

/// What is known of a cause stands in its own files: no id of a rule is written elsewhere.
#[test]
fn no_id_stands_outside_of_its_rules_own_files() {
    let source = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut folders = vec![source.clone()];
    let (mut files, mut wrong) = (0, Vec::new());
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            // Pages, tables and tests name the findings that they speak of.
            if !name.ends_with(".rs") || name == "tests.rs" {
                continue;
            }
            files += 1;
            let text = std::fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]").next().unwrap_or_default();
            let code = code.lines().filter(|line| !line.trim_start().starts_with("//"));
            for (line, rule) in code.flat_map(|line| all().map(move |rule| (line, rule))) {
                let own = source.join("rules").join(rule.id.replace('-', "_")).with_extension("rs");
                if line.contains(&format!("\"{}\"", rule.id)) && path != own {
                    wrong.push(format!("{}: {}", path.display(), rule.id));
                }
            }
        }
    }
    assert!(files > 100 && wrong.is_empty(), "{files} files; {}", wrong.join("\n"));
}

#[test]
fn a_finer_cause_names_a_listed_one_of_the_same_layer() {
    for rule in all() {
        let Some(listed) = rule.kind_of else { continue };
        assert_eq!(rule.layer(), listed.layer(), "{}", rule.id);
        assert!(listed.kind_of.is_none(), "{} names {}", rule.id, listed.id);
    }
}

#[test]
fn the_reads_of_a_rule_come_once_and_in_the_modems_own_command_set() {
    use crate::response::command_set;
    let own = command_set(["+QENG"]);
    let other = command_set(["+CPSI"]);
    for (id, first, elsewhere) in [
        ("radio/technology", "AT+QCFG=\"nwscanmode\"", "AT+CNMP?"),
        ("radio/antenna", "AT+QRSRP", "AT+CSQ"),
        ("radio/weak", "AT+QENG=\"servingcell\"", "AT+CPSI?"),
        ("radio/band-off", "AT+QCFG=\"band\"", "AT+CBANDCFG?"),
    ] {
        let rule = find(id).unwrap();
        assert_eq!(rule.reads(own)[0], first, "{id}");
        assert_eq!(rule.reads(other)[0], elsewhere, "{id}");
        let mut reads = rule.reads(own);
        let count = reads.len();
        reads.sort_unstable();
        reads.dedup();
        assert_eq!(reads.len(), count, "{id}");
        assert!(!rule.reads(None).iter().any(|r| r.contains("QCFG")), "{id}");
    }
}

#[test]
fn every_rule_says_what_to_do() {
    for rule in all() {
        assert!(!rule.actions.is_empty(), "{}", rule.id);
        assert!(
            rule.actions.iter().any(|a| a.by == rule.acts) || rule.acts == Acts::Nobody,
            "{}",
            rule.id
        );
    }
}

#[test]
fn a_circuit_refusal_beside_working_data_is_no_fault() {
    let case = Case::read(&Capture::new("+CREG: 0,3\n+CGREG: 0,1\n+CEREG: 0,1\n"));
    let judged = (find("registration/denied").unwrap().judge)(&Site::of(&case));
    assert_eq!(judged.word(), "ruled-out");
}

fn judged(id: &str, text: &str) -> Judgement {
    let case = Case::read(&Capture::new(text));
    (find(id).unwrap().judge)(&Site::of(&case))
}

#[test]
fn a_card_that_was_read_after_a_bad_state_is_no_longer_in_it() {
    let asks = "AT+CPIN?\n+CPIN: SIM PIN\nOK\n";
    let number = "AT+CIMI\n001010000000017\nOK\n";
    assert_eq!(judged("card/pin-required", &format!("{asks}{number}")).word(), "ruled-out");
    assert_eq!(judged("card/pin-required", &format!("{number}{asks}")).word(), "holds");
}

#[test]
fn a_busy_card_leaves_every_state_open() {
    for id in ["card/not-detected", "card/failure", "card/pin-required", "card/lock"] {
        assert_eq!(judged(id, "AT+CPIN?\n+CME ERROR: 14\n").word(), "open", "{id}");
    }
}

#[test]
fn a_network_in_a_search_or_a_refusal_shows_that_a_cell_is_heard() {
    let nothing = "AT+CFUN?\n+CFUN: 1\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\nAT+CSQ\n+CSQ: 99,99\nOK\n";
    assert_eq!(judged("radio/no-signal", nothing).word(), "holds");
    let found = "AT+COPS=?\n+COPS: (1,\"Weir\",\"Weir\",\"00101\",7),,(0,1),(0,1,2)\nOK\n";
    assert_ne!(judged("radio/no-signal", &format!("{nothing}{found}")).word(), "holds");
    let empty = "AT+COPS=?\n+COPS: ,,(0,1),(0,1,2)\nOK\n";
    assert_eq!(judged("radio/no-signal", &format!("{nothing}{empty}")).word(), "holds");
    let refused = "AT+CEREG?\n+CEREG: 0,3\nOK\n";
    assert_ne!(judged("radio/no-signal", &format!("{nothing}{refused}")).word(), "holds");
}

/// The band rule with the profile of a carrier whose LTE bands are 3, 8, 20 and 28.
fn with_profile(text: &str) -> Judgement {
    let case = Case::read(&Capture::new(text));
    let profiles = ProfileStore::shipped();
    let choice = Choice::make(&profiles, &case, Some("Ember Mobile")).unwrap();
    (find("radio/band-off").unwrap().judge)(&Site::with(&case, choice.carrier.as_ref(), &profiles))
}

#[test]
fn a_band_on_the_same_frequencies_counts_as_the_carriers_own() {
    let searching = "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+QCFG=\"band\"\n+QCFG: \"band\",0x0,";
    // Band 9 lies within band 3 (TS 36.101 table 5.5-1); band 7 lies in none of them.
    assert_eq!(with_profile(&format!("{searching}0x100\nOK\n")).word(), "ruled-out");
    assert_eq!(with_profile(&format!("{searching}0x40\nOK\n")).word(), "holds");
    assert_eq!(with_profile(&format!("{searching}0x80000\nOK\n")).word(), "ruled-out");
}

#[test]
fn evidence_names_the_state_and_the_list_that_its_cause_stands_in() {
    let Judgement::Holds { evidence, .. } =
        judged("registration/searching", "AT+CEREG?\n+CEREG: 0,2\nOK\n")
    else {
        panic!("searching is what the text says");
    };
    assert!(evidence[0].says.contains("searching for a network"), "{evidence:?}");
    for (text, list) in [
        ("AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,11\nOK\n", "TS 24.301"),
        ("AT+C5GREG?\n+C5GREG: 3,3,\"000A11\",\"0003A2B1\",11,0,,0,11\nOK\n", "TS 24.501"),
    ] {
        let Judgement::Holds { evidence, .. } = judged("registration/network", text) else {
            panic!("cause 11 is in the text: {text}");
        };
        assert!(evidence[0].says.contains(list), "{evidence:?}");
    }
}

#[test]
fn a_search_counts_beside_an_idle_circuit_domain_and_not_against_a_registration() {
    let stands = |text: &str| registration_status(&Case::read(&Capture::new(text))).map(|(s, _)| s);
    assert_eq!(stands("^SMONI: 4G,SEARCH\n"), Some(RegistrationStatus::Searching));
    assert_eq!(
        stands("^SMONI: 4G,SEARCH\nAT+CREG?\n+CREG: 0,0\nOK\n"),
        Some(RegistrationStatus::Searching)
    );
    assert_eq!(stands("AT+CREG?\n+CREG: 0,0\nOK\n"), Some(RegistrationStatus::Idle));
    assert_eq!(
        stands("^SMONI: 4G,SEARCH\nAT+CREG?\n+CREG: 0,1\nOK\n"),
        Some(RegistrationStatus::Registered)
    );
    let camped = "^SMONI: 4G,6300,20,10,10,FDD,001,01,620C,0295558,350,33,-94,-7,NOCONN\n";
    assert_eq!(stands(camped), Some(RegistrationStatus::Registered));
    assert_eq!(
        stands(&format!("{camped}AT+CREG?\n+CREG: 0,0\nOK\n")),
        Some(RegistrationStatus::Registered)
    );
    let nothing = "AT+QCSQ\n+QCSQ: \"NOSERVICE\"\nOK\n";
    assert_eq!(stands(nothing), Some(RegistrationStatus::Unknown));
    assert_eq!(
        stands(&format!("^SMONI: 4G,SEARCH\n{nothing}")),
        Some(RegistrationStatus::Searching)
    );
    assert_eq!(stands(&format!("{camped}{nothing}")), Some(RegistrationStatus::Unknown));
    assert_eq!(
        stands(&format!("{nothing}AT+CREG?\n+CREG: 0,0\nOK\n")),
        Some(RegistrationStatus::Idle)
    );
}

#[test]
fn a_state_read_with_the_radio_off_ends_when_it_is_switched_on() {
    let off = "AT+CFUN=0\nOK\nAT+CREG?\n+CREG: 0,0\nOK\n";
    let on = "AT+CFUN=1\nOK\n";
    let stands = |text: &str| registration_status(&read(text)).map(|(s, _)| s);
    assert_eq!(stands(off), Some(RegistrationStatus::Idle));
    assert_eq!(stands(&format!("{off}{on}")), None);
    assert_eq!(
        stands(&format!("+CREG: 0,3\n{off}{on}+CREG: 0,2\n")),
        Some(RegistrationStatus::Searching)
    );
    // Nothing was read while it was off.
    assert_eq!(
        stands(&format!("+CREG: 0,3\nAT+CFUN=0\nOK\n{on}")),
        Some(RegistrationStatus::Denied)
    );
}

#[test]
fn a_card_that_the_network_answered_has_not_failed() {
    let failed = "AT+CPIN?\n+CME ERROR: 13\n";
    let later = format!("{failed}+CEREG: 3,\"0A11\",\"0003A2B1\",7,0,19\n");
    assert!(matches!(judged("card/failure", failed), Judgement::Holds { .. }));
    assert!(matches!(judged("card/failure", &later), Judgement::RuledOut(_)));
    let before = format!("+CEREG: 3,\"0A11\",\"0003A2B1\",7,0,19\n{failed}");
    assert!(matches!(judged("card/failure", &before), Judgement::Holds { .. }));
}

#[test]
fn normal_service_is_for_data_on_lte_where_nothing_says_otherwise() {
    let data = |text: &str| data_registered(&read(text)).is_some();
    let on = |cell: &str| format!("+QENG: \"servingcell\",\"NOCONN\",{cell}\n");
    let lte = on("\"LTE\",\"FDD\",001,01,1A2D04,112,1850,3,5,5,2AF3,-94,-11,-63,14,38");
    assert!(data(&lte));
    assert!(!data(&on("\"GSM\",001,01,1A2D,112,18,50,3,-,-,-,-,-,-,-,-,-,-,-,-,-,-,-,-,-,-,-")));
    assert!(data(&format!("{lte}+CREG: 0,1\n")));
    assert!(!data(&format!("{lte}+CREG: 0,3\n")));
    assert!(!data(&format!("{lte}+CEREG: 0,2\n")));
    assert!(!data(&format!("{lte}+QENG: \"servingcell\",\"SEARCH\"\n")));
}

fn read(text: &str) -> Case {
    Case::read(&Capture::new(text))
}

const ADDRESS: &str = "AT+CGPADDR=1\n+CGPADDR: 1,\"192.0.2.7\"\nOK\n";

#[test]
fn an_address_counts_until_every_packet_state_after_it_is_bad() {
    let up = |text: String| bearer_up(&read(&text)).is_some();
    let searching = "AT+CEREG?\n+CEREG: 0,2\nOK\n";
    let packet = "AT+CGREG?\n+CGREG: 0,1\nOK\n";
    assert!(up(ADDRESS.into()));
    assert!(up(format!("{searching}{ADDRESS}")), "the state is the older one");
    assert!(!up(format!("{ADDRESS}{searching}")), "the state is the later one");
    assert!(up(format!("{packet}{ADDRESS}{searching}")), "one packet state is good");
    assert!(up(format!("{ADDRESS}AT+CREG?\n+CREG: 0,2\nOK\n")), "the circuit domain says nothing");
    assert!(!up("AT+CGPADDR=1\n+CGPADDR: 1,\"192.168.225.30\"\nOK\n".into()));
    assert!(!up("AT+CGPADDR=1\n+CGPADDR: 1,\"0.0.0.0\"\nOK\n".into()));
}

#[test]
fn an_attach_counts_until_the_registration_is_lost() {
    let on = |text: &str| Site::of(&read(text)).online().is_some();
    assert!(on("AT+CGATT?\n+CGATT: 1\nOK\n"));
    assert!(!on("AT+CGATT?\n+CGATT: 0\nOK\n"));
    assert!(!on("AT+CGATT?\n+CGATT: 1\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n"));
}

#[test]
fn evidence_tells_home_from_roaming() {
    let says = |stat: u8| data_registered(&read(&format!("+CEREG: 0,{stat}\n"))).unwrap().says;
    assert!(says(1).ends_with("in its home network"), "{}", says(1));
    assert!(says(5).ends_with("roaming"), "{}", says(5));
}

#[test]
fn a_radio_or_a_card_that_is_not_ready_holds_back_what_follows() {
    use registration_status::{card_state, held_back};
    for (text, wanted) in [
        ("AT+CFUN?\n+CFUN: 1\nOK\n", false),
        ("AT+CFUN?\n+CFUN: 4\nOK\n", true),
        ("AT+CPSI?\n+CPSI: NO SERVICE,Low Power Mode\nOK\n", true),
        ("AT+CPSI?\n+CPSI: NO SERVICE,Online\nOK\n", false),
        ("AT+CPIN?\n+CPIN: READY\nOK\n", false),
        ("AT+CPIN?\n+CPIN: SIM PIN\nOK\n", true),
        ("AT+CPIN?\n+CME ERROR: 10\n", true),
    ] {
        assert_eq!(held_back(&read(text)), wanted, "{text}");
    }
    // That a card is there says less than that it is ready, or waits for its code.
    let then_inserted = "AT+CPIN?\n+CPIN: SIM PIN\nOK\nAT+QSIMSTAT?\n+QSIMSTAT: 0,1\nOK\n";
    let state = read(then_inserted);
    assert_eq!(card_state(&state).map(|o| o.value), Some(crate::case::Sim::PinRequired));
}

#[test]
fn a_rule_is_the_same_as_itself_and_as_no_other() {
    for a in all() {
        for b in all() {
            assert_eq!(a == b, a.id == b.id, "{} {}", a.id, b.id);
        }
    }
}

#[test]
fn only_what_is_read_right_behind_a_start_is_early() {
    use registration_status::just_started;
    let case = read("AT+CSQ\n+CSQ: 99,99\nOK\nRDY\nAT+CSQ\n+CSQ: 99,99\nOK\n");
    let started = case.device.power.latest().unwrap().order;
    assert!(just_started(&case, started + 1));
    assert!(!just_started(&case, started), "the start itself");
    assert!(!just_started(&case, started - 1), "before it");
    assert!(!just_started(&case, started + 100), "long after it");
    assert!(
        just_started(&case, started + 7) && !just_started(&case, started + 8),
        "the last of them"
    );
}

#[test]
fn an_attempt_that_succeeds_outweighs_the_one_that_failed_before_it() {
    let failed = "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT=1,1\n+CME ERROR: 148\n";
    assert_eq!(judged("bearer/inactive", failed).word(), "holds");
    let then = format!("{failed}AT+CGACT=1,1\nOK\n");
    assert_eq!(judged("bearer/inactive", &then).word(), "open");
}
