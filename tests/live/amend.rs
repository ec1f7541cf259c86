//! Amendments by cause and effect: what each mends, its undo, and what is never done.

use super::*;
use mastside::live::{CycleError, EntryState, Force, Login};
use mastside::simulator::Settings;

/// Makes a change in a scenario; the modem, the undo file, the recording, and whether it is online.
fn change(name: &str, what: &Change) -> (Modem, Result<Option<Undo>, Refusal>, String, bool) {
    let mut modem = Modem::new(scenario(name));
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let ((made, online), text, _) = with_client(&mut modem, &stop, |client| {
        let made = make(client, what, &journal);
        let online = made.is_ok() && client.wait_for_address(Duration::from_secs(20)).unwrap();
        (made, online)
    });
    (modem, made, text, online)
}

/// Makes a change and puts it back from its file, as it is written and read.
fn there_and_back(modem: &mut Modem, what: &Change) -> (Settings, String) {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (undo, text, _) = with_client(modem, &stop, |client| make(client, what, &journal));
    let after = modem.settings().clone();
    let file = toml::to_string_pretty(&undo.unwrap().unwrap()).unwrap();
    let undo: Undo = toml::from_str(&file).unwrap();
    let (back, ..) = with_client(modem, &stop, |client| {
        assert!(client.wake(false).unwrap());
        undo.put_back(client, &journal, Force::default())
    });
    back.unwrap();
    (after, text + &file)
}

#[test]
fn the_right_name_attaches_and_the_undo_brings_the_wrong_one_back() {
    let (mut modem, made, _, online) = change("wrong-access-point", &access_point("gauge.example"));
    assert!(made.is_ok() && online);
    assert_eq!(finding(&examined(&mut modem, 1000).0), "connected");
    let mut modem = Modem::new(scenario("wrong-access-point"));
    let before = modem.settings().clone();
    let (after, _) = there_and_back(&mut modem, &access_point("gauge.example"));
    assert_eq!(after.contexts[&1], ("IPV4V6".into(), "gauge.example".into()));
    assert_eq!(modem.settings(), &before);
    assert!(!change("wrong-access-point", &access_point("gauge.exampel")).3);
}

#[test]
fn changing_a_name_leaves_the_address_type_as_it_was() {
    let text = "title = \"t\"\nstory = \"s\"\nfinding = \"connected\"\n\
                [modem]\ncontexts = [[1, \"IP\", \"old.example\"]]\n";
    let mut modem = Modem::new(Scenario::parse(text).unwrap());
    let (after, _) = there_and_back(&mut modem, &access_point("new.example"));
    assert_eq!(after.contexts[&1], ("IP".into(), "new.example".into()));
}

#[test]
fn each_change_mends_its_scenario() {
    assert!(change("radio-off", &Change::Radio).3);
    assert!(change("chosen-by-hand", &Change::Network).3);
    assert!(change("deregistered", &Change::Network).3);
    assert!(change("forbidden-home", &Change::Forbidden).3);
    assert!(change("pin", &Change::Pin("0000".into())).3);
}

#[test]
fn every_undo_brings_back_exactly_what_was_there() {
    for (name, what) in [
        ("radio-off", Change::Radio),
        ("deregistered", Change::Network),
        ("forbidden-home", Change::Forbidden),
        ("band-off", Change::Band(20)),
        ("wrong-technology", Change::Technology),
        ("healthy", access_point("other.example")),
    ] {
        let mut modem = Modem::new(scenario(name));
        let before = modem.settings().clone();
        let (after, _) = there_and_back(&mut modem, &what);
        assert_ne!(after, before, "{name}");
        assert_eq!(modem.settings(), &before, "{name}");
    }
}

#[test]
fn what_is_so_already_is_not_written_again() {
    for what in [Change::Radio, Change::Network, Change::Forbidden, Change::Usage] {
        let (modem, made, ..) = change("healthy", &what);
        assert!(matches!(made, Err(Refusal::Already(_))), "{what:?}: {made:?}");
        assert!(modem.commands().iter().all(|c| is_read(c)), "{:?}", modem.commands());
    }
}

#[test]
fn the_last_pin_try_is_never_used_and_no_pin_is_written_down() {
    let (modem, made, ..) = change("last-pin-try", &Change::Pin("0000".into()));
    assert!(matches!(made, Err(Refusal::TriesLow(1))), "{made:?}");
    assert_eq!(modem.settings().tries, 1);
    let (modem, made, text, _) = change("pin", &Change::Pin("1234".into()));
    assert_eq!(modem.settings().tries, 2);
    assert!(!text.contains("1234") && text.contains("AT+CPIN=\"****\""), "{text}");
    // The user reads how many tries are left.
    let said = made.unwrap_err().to_string();
    assert!(said.contains("2 PIN tries are left"), "{said}");
}

#[test]
fn a_band_switched_on_is_heard_and_the_undo_brings_the_silence_back() {
    let (mut modem, made, text, _) = change("band-off", &Change::Band(20));
    assert!(made.is_ok(), "{made:?}\n{text}");
    assert_eq!(modem.settings().stored["+QCFG=\"band\""], "0x93,0x80041,0x0");
    assert_eq!(finding(&examined(&mut modem, 1000).0), "connected");
    let mut modem = Modem::new(scenario("band-off"));
    there_and_back(&mut modem, &Change::Band(20));
    assert_eq!(finding(&examined(&mut modem, 1000).0), "radio/band-off");
}

#[test]
fn a_login_is_set_without_its_password_being_written_down() {
    let login = Login { protocol: 2, user: "gauge".into(), password: "hunter".into() };
    let change = Change::AccessPoint {
        context: 1,
        name: "gauge.example".into(),
        address: Some("IPV4V6".into()),
        login: Some(login),
    };
    let mut modem = Modem::new(scenario("healthy"));
    let before = modem.settings().clone();
    let (after, written) = there_and_back(&mut modem, &change);
    assert_eq!(after.logins[&1], (2, "gauge".into()));
    assert_eq!(modem.settings(), &before);
    assert!(!written.contains("hunter"), "{written}");
}

/// A modem that takes a login with a comma, a quote or a letter less.
#[test]
fn a_login_is_never_called_proved_and_a_damaged_row_never_read_back() {
    let login = Login { protocol: 2, user: "gauge".into(), password: "hunter".into() };
    let what = Change::AccessPoint {
        context: 1,
        name: "gauge.example".into(),
        address: None,
        login: Some(login),
    };
    let (_, made, ..) = change("healthy", &what);
    assert!(made.is_ok(), "{made:?}");
    assert_eq!(NOT_PROVED.with(std::cell::RefCell::take), ["the password of context 1"]);
    for (row, proved) in
        [("+CGAUTH: 1,2,\"gauge\",\"hunter\"", true), ("+CGAUTH: 1,2,\"gauge\",\"******\"", false)]
    {
        let mut shows = scenario("healthy");
        shows.modem.replies.insert("AT+CGAUTH?".into(), vec![row.into()]);
        let mut modem = Modem::new(shows);
        let (_folder, journal) = journal();
        let stop = AtomicBool::new(false);
        let (made, text, _) = with_client(&mut modem, &stop, |c| make(c, &what, &journal));
        assert!(made.is_ok(), "{made:?}\n{text}");
        assert_eq!(NOT_PROVED.with(std::cell::RefCell::take).is_empty(), proved, "{row}");
        assert!(!text.contains("hunter"), "{text}");
    }
    for row in [
        "+CGAUTH: 1,2\"gauge\"",
        "+CGAUTH: 1,2,\"gauge\"\"hunter\"",
        "+CGAUTH: 1,2,\"gauge",
        "+CGAUTH: 1,2,\"gauge\",\"other\"",
    ] {
        let mut shows = scenario("healthy");
        shows.modem.replies.insert("AT+CGAUTH?".into(), vec![row.into()]);
        let mut modem = Modem::new(shows);
        let (_folder, journal) = journal();
        let stop = AtomicBool::new(false);
        let (made, ..) = with_client(&mut modem, &stop, |c| make(c, &what, &journal));
        assert!(made.is_err(), "{row}: {made:?}");
    }
}

/// The former password is known to nobody, so the undo says what it leaves.
#[test]
fn an_undo_names_the_login_that_it_cannot_put_back() {
    let login = |user: &str| Login { protocol: 1, user: user.into(), password: "rain".into() };
    let what = |user| Change::AccessPoint {
        context: 1,
        name: "other.example".into(),
        address: None,
        login: Some(login(user)),
    };
    let mut modem = Modem::new(scenario("healthy"));
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let mut made = |user| with_client(&mut modem, &stop, |c| make(c, &what(user), &journal)).0;
    assert!(made("first").unwrap().unwrap().not_put_back.is_empty());
    assert_eq!(made("second").unwrap().unwrap().not_put_back, ["the login of context 1"]);
}

/// The first answer comes after 2.6 s, when three bare `AT` are under way.
#[test]
fn a_late_first_answer_never_loses_an_undo() {
    for late in [100, 900, 1_100, 2_600, 4_000, 7_500] {
        let mut slow = scenario("wrong-access-point");
        slow.modem.first_answer_ms = late;
        let mut modem = Modem::new(slow);
        let before = modem.settings().clone();
        let (after, _) = there_and_back(&mut modem, &access_point("gauge.example"));
        assert_eq!(after.contexts[&1].1, "gauge.example", "{late} ms");
        assert_eq!(modem.settings(), &before, "{late} ms");
    }
}

#[test]
fn an_undo_is_refused_at_another_modem_with_another_card_and_where_the_state_has_moved_on() {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let mut modem = Modem::new(scenario("wrong-access-point"));
    let made = |client: &mut Client<'_>| make(client, &access_point("gauge.example"), &journal);
    let undo = with_client(&mut modem, &stop, made).0.unwrap().unwrap();
    let put_back = |modem: &mut Modem, force: Force, undo: &Undo| {
        let writes = modem.commands().len();
        let back = with_client(modem, &stop, |client| {
            assert!(client.wake(false).unwrap());
            undo.put_back(client, &journal, force)
        });
        let wrote = modem.commands()[writes..].iter().any(|c| !is_read(c));
        (back.0, wrote)
    };
    let mut other = scenario("wrong-access-point");
    other.modem.imei = "004999010640018".into();
    let mut other_card = scenario("wrong-access-point");
    other_card.card.iccid = "8988000000000000024".into();
    for other in [other, other_card] {
        let mut other = Modem::new(other);
        let before = other.settings().clone();
        let (refused, wrote) = put_back(&mut other, Force::default(), &undo);
        assert!(matches!(refused, Err(Refusal::OtherModem(_))), "{refused:?}");
        assert!(!wrote);
        assert_eq!(other.settings(), &before);
    }
    let mut moved = Modem::new(scenario("healthy"));
    with_client(&mut moved, &stop, |client| make(client, &access_point("third.example"), &journal))
        .0
        .unwrap();
    let (refused, wrote) = put_back(&mut moved, Force::default(), &undo);
    assert!(matches!(refused, Err(Refusal::MovedOn { .. })), "{refused:?}");
    assert!(!wrote);
    let forced = Force { moved_on: true, ..Force::default() };
    assert!(put_back(&mut moved, forced, &undo).0.is_ok());
    assert_eq!(moved.settings().contexts[&1].1, "gauge.exmaple");
    // A file of an earlier version names no modem.
    let old = Undo { modem: None, setting: Vec::new(), ..undo.clone() };
    assert!(matches!(put_back(&mut modem, Force::default(), &old).0, Err(Refusal::OtherModem(_))));
    let other_modem = Force { other_modem: true, ..Force::default() };
    assert!(put_back(&mut modem, other_modem, &old).0.is_ok());
    assert_eq!(modem.settings().contexts[&1].1, "gauge.exmaple");
}

#[test]
fn a_refused_undo_is_no_undo() {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let mut modem = Modem::new(scenario("wrong-access-point"));
    let undo = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("gauge.example"), &journal)
    });
    let undo = undo.0.unwrap().unwrap();
    let mut refusing = scenario("healthy");
    refusing.modem.refuse = [("AT+CGDCONT=".to_owned(), "+CME ERROR: 3".to_owned())].into();
    let mut modem = Modem::new(refusing);
    let back = with_client(&mut modem, &stop, |client| {
        assert!(client.wake(false).unwrap());
        undo.put_back(client, &journal, Force::default())
    });
    assert!(matches!(back.0, Err(Refusal::Refused(..))), "{:?}", back.0);
}

#[test]
fn a_card_that_refuses_to_be_written_is_not_called_done() {
    let mut refusing = scenario("forbidden-home");
    // The card's own status, behind an OK (TS 51.011 §9.4).
    refusing.modem.replies.insert(
        format!("AT+CRSM=214,28539,0,0,12,\"{}\"", "F".repeat(24)),
        vec!["+CRSM: 105,130".into()],
    );
    let mut modem = Modem::new(refusing);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let made = with_client(&mut modem, &stop, |client| make(client, &Change::Forbidden, &journal));
    let said = made.0.unwrap_err().to_string();
    assert!(said.contains("105,130"), "{said}");
}

#[test]
fn a_registration_in_the_old_technology_and_a_plain_address_are_proof() {
    let mut old = scenario("healthy");
    old.modem.replies.insert("AT+CEREG?".into(), vec!["+CEREG: 0,4".into()]);
    old.modem.replies.insert("AT+CGREG?".into(), vec!["+CGREG: 0,1".into()]);
    old.modem.replies.insert("AT+CGPADDR".into(), vec!["+CGPADDR: 1,192.0.2.44".into()]);
    let stop = AtomicBool::new(false);
    let online = |scenario: Scenario| {
        let mut modem = Modem::new(scenario);
        with_client(&mut modem, &stop, |c| c.wait_for_address(Duration::from_secs(3))).0.unwrap()
    };
    assert!(online(old.clone()));
    old.modem.replies.insert("AT+CGPADDR".into(), vec!["+CGPADDR: 1,\"\"".into()]);
    assert!(!online(old));
}

/// The radio comes on although `AT+CFUN=1` is refused twice, stays unanswered twice, or `AT+CFUN=4`
/// has no result.
#[test]
fn the_radio_comes_on_although_commands_are_refused_or_unanswered() {
    for (command, words) in
        [("AT+CFUN=1", "ERROR"), ("AT+CFUN=1", ""), ("AT+CFUN=4", "ERROR"), ("AT+CFUN=4", "")]
    {
        let mut stubborn = scenario("wrong-access-point");
        stubborn.modem.refuse = [(command.to_owned(), words.to_owned())].into();
        stubborn.modem.refuse_times = 2;
        let mut modem = Modem::new(stubborn);
        let (_folder, journal) = journal();
        let stop = AtomicBool::new(false);
        let made = with_client(&mut modem, &stop, |client| {
            make(client, &access_point("gauge.example"), &journal)
        });
        assert_eq!(modem.settings().functionality, 1, "{command} {words}: {:?}", made.0);
        assert!(journal.radios_off().is_empty());
    }
}

#[test]
fn a_radio_that_stays_off_is_said_loudly_and_stands_in_the_journal() {
    let mut stubborn = scenario("wrong-access-point");
    stubborn.modem.refuse = [("AT+CFUN=1".to_owned(), "ERROR".to_owned())].into();
    let mut modem = Modem::new(stubborn);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let made = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("gauge.example"), &journal)
    });
    let Err(Refusal::Radio(CycleError::StaysOff(4))) = &made.0 else { panic!("{:?}", made.0) };
    let said = made.0.unwrap_err().to_string();
    assert!(said.contains("THE RADIO IS OFF") && said.contains("AT+CFUN=1"), "{said}");
    let entries = journal.radios_off();
    assert_eq!(entries.len(), 1);
    assert_eq!((&*entries[0].port, &*entries[0].command), ("/dev/ttyUSB2", "AT+CFUN=1"));
    // An examination that sees the radio on is done with the entry.
    journal.radio_is_on();
    assert!(journal.radios_off().is_empty());
}

#[test]
fn a_radio_that_was_off_is_not_switched_on_by_another_change() {
    let mut modem = Modem::new(scenario("radio-off"));
    let before = modem.settings().functionality;
    let (after, _) = there_and_back(&mut modem, &access_point("other.example"));
    assert_eq!(after.contexts[&1].1, "other.example");
    assert_eq!((after.functionality, modem.settings().functionality), (before, before));
}

#[test]
fn the_journal_holds_every_change_with_its_undo() {
    let (_folder, journal) = journal();
    let mut modem = Modem::new(scenario("wrong-access-point"));
    let stop = AtomicBool::new(false);
    let undo = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("gauge.example"), &journal)
    });
    let undo = undo.0.unwrap().unwrap();
    let identity = undo.modem.clone().unwrap();
    journal.note(&identity, "a name", EntryState::Begun, Some(&undo)).unwrap();
    journal.note(&identity, "a name", EntryState::Made, None).unwrap();
    let entries = journal.entries().unwrap().entries;
    assert_eq!(
        entries.iter().map(|e| e.state).collect::<Vec<_>>(),
        [EntryState::Begun, EntryState::Made]
    );
    let kept = std::fs::read_to_string(entries[0].undo.as_ref().unwrap()).unwrap();
    assert_eq!(toml::from_str::<Undo>(&kept).unwrap(), undo);
    for number in ["004999010640000", "001010000012345", "8988000000000000016"] {
        assert!(!kept.contains(number), "{kept}");
    }
}
