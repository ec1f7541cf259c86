//! Fresh attaches and restarts: watched until data is registered, and the radio on whatever happens.

use super::*;
use mastside::live::{Fresh, Journal, begin_anew};

#[test]
fn a_fresh_attach_and_a_restart_are_watched_until_data_is_registered() {
    use mastside::commission::{Criteria, Outcome, judge};
    use mastside::survey::analysis::Analysis;
    let mut modem = Modem::new(scenario("hand-over"));
    let before = modem.settings().clone();
    let stop = AtomicBool::new(false);
    let text = {
        let mut line = Line::new(&mut modem, 1000);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        for fresh in [Fresh::Restart, Fresh::Attach] {
            let wait = Duration::from_mins(1);
            let begun = begin_anew(&mut client, fresh, wait, &Journal::default(), &mut ());
            assert!(matches!(begun, Ok(true)), "{begun:?}\n{}", client.recorded());
        }
        client.recorded().to_owned()
    };
    assert_eq!(modem.settings(), &before, "the report mode was put back");
    assert_eq!(finding(&text), "connected", "{text}");
    assert!(text.contains("+CEREG: 3,2"), "searching was seen: {text}");
    let outcomes = |text: &str| -> Vec<Outcome> {
        let criteria = Criteria::parse("reattach_seconds = 50\nrestart_seconds = 50").unwrap();
        let case = Case::read(&Capture::new(text));
        let measured = judge(&criteria, &Analysis::default(), Some(&case));
        // The dialogue is judged here; that no spot was measured is a criterion of its own.
        let timed = measured.iter().filter(|m| m.criterion.contains("until registered for data"));
        timed.map(|m| m.outcome).collect()
    };
    assert_eq!(outcomes(&text), [Outcome::Passed, Outcome::Passed]);
    // Cut off before the end of the last search, the attach never came.
    let cut = &text[..text.rfind("+CEREG: 3,1").unwrap()];
    let cut = &cut[..cut.rfind("+CGREG").unwrap()];
    assert_eq!(outcomes(cut), [Outcome::Failed, Outcome::Passed], "{cut}");
}

#[test]
fn a_fresh_attach_that_is_stopped_leaves_the_radio_on_and_the_settings_as_they_were() {
    use mastside::live::Progress;
    struct StopsAt<'s>(&'static str, &'s AtomicBool);
    impl Progress for StopsAt<'_> {
        fn asking(&mut self, command: &str) {
            if command.starts_with(self.0) {
                self.1.store(true, std::sync::atomic::Ordering::Relaxed);
            }
        }
    }
    for at in ["AT+CEREG=3", "AT+CFUN=4", "AT+CEREG?", "AT+CEER"] {
        let mut modem = Modem::new(scenario("hand-over"));
        let before = modem.settings().clone();
        let stop = AtomicBool::new(false);
        let mut line = Line::new(&mut modem, 1000);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        let mut progress = StopsAt(at, &stop);
        let ended = begin_anew(
            &mut client,
            Fresh::Attach,
            Duration::from_mins(1),
            &Journal::default(),
            &mut progress,
        );
        assert_eq!(ended.unwrap_err().to_string(), "stopped", "{at}");
        assert_eq!(modem.settings(), &before, "{at}");
    }
}

#[test]
fn a_modem_that_does_not_come_back_is_given_up_in_time() {
    let text = "title = \"gone\"\nstory = \"invented\"\nfinding = \"connected\"\n\
                [modem]\nsilent_after_restart = 9999\n";
    let mut modem = Modem::new(Scenario::parse(text).unwrap());
    let stop = AtomicBool::new(false);
    let mut line = Line::new(&mut modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let back = begin_anew(
        &mut client,
        Fresh::Restart,
        Duration::from_secs(30),
        &Journal::default(),
        &mut (),
    )
    .unwrap();
    assert!(!back);
}
