//! Following a modem from its start, in the line's own time.

use super::*;
use mastside::live::{FollowEnd, Following, Onlooker, Phase, follow};

/// The phases in their order with the time at which each began, and what came by itself.
#[derive(Default)]
struct Seen {
    phases: Vec<(Phase, u64)>,
    heard: Vec<String>,
}

impl Onlooker for Seen {
    fn look(&mut self, following: &Following) {
        if self.phases.last().is_none_or(|(phase, _)| *phase != following.phase) {
            self.phases.push((following.phase, following.since.as_secs()));
        }
        self.heard.extend(following.heard.iter().map(|(_, line)| line.clone()));
    }
}

/// Follows a modem for so many seconds; how it ended, what was seen, the recording, the time.
fn followed(modem: &mut Modem, seconds: u64) -> (FollowEnd, Seen, String, Duration) {
    let stop = AtomicBool::new(false);
    let mut seen = Seen::default();
    let (end, text, passed) = with_client(modem, &stop, |client| {
        let begun = client.now();
        follow(client, begun, Duration::from_secs(seconds), &mut seen).unwrap()
    });
    (end, seen, text, passed)
}

fn phases(seen: &Seen) -> Vec<Phase> {
    seen.phases.iter().map(|(phase, _)| *phase).collect()
}

#[test]
fn a_modem_that_was_just_switched_on_is_followed_through_start_card_and_search() {
    let mut modem = Modem::new(scenario("slow-start"));
    let before = modem.settings().clone();
    let (end, seen, text, passed) = followed(&mut modem, 300);
    assert_eq!(end, FollowEnd::Connected, "{text}");
    assert_eq!(
        phases(&seen),
        [Phase::Starts, Phase::CardBusy, Phase::Searches, Phase::Connected],
        "{text}"
    );
    assert!((45..50).contains(&passed.as_secs()), "{passed:?}");
    // The modem's start is told, and the network's answer as it came; the time counts from the start.
    assert!(seen.heard.iter().any(|line| line == "RDY"), "{:?}", seen.heard);
    assert!(seen.heard.iter().any(|line| line.starts_with("+CEREG: 1,")), "{:?}", seen.heard);
    let connected = seen.phases.last().unwrap().1;
    assert!((35..45).contains(&connected), "{:?}", seen.phases);
    assert_eq!(modem.settings(), &before);
    assert_eq!(finding(&text), "connected");
    assert!(modem.commands().iter().all(|c| is_read(c)), "{:?}", modem.commands());
}

#[test]
fn a_refusal_that_stands_for_ten_seconds_ends_it() {
    let (end, seen, text, passed) = followed(&mut Modem::new(scenario("not-active")), 300);
    assert_eq!(end, FollowEnd::Refused);
    assert_eq!(seen.phases.last().unwrap().0, Phase::Denied);
    assert!((10..20).contains(&passed.as_secs()), "{passed:?}");
    assert_eq!(finding(&text), "registration/subscriber");
}

#[test]
fn a_time_named_ends_it_and_a_card_that_wants_its_pin_at_once() {
    let (end, seen, _, passed) = followed(&mut Modem::new(scenario("nothing-heard")), 40);
    assert_eq!((end, seen.phases.last().unwrap().0), (FollowEnd::TimeOver, Phase::Searches));
    assert!((40..50).contains(&passed.as_secs()), "{passed:?}");
    let (end, seen, _, passed) = followed(&mut Modem::new(scenario("pin")), 40);
    assert_eq!((end, seen.phases.last().unwrap().0), (FollowEnd::CardWaits, Phase::CardWaits));
    assert!(passed.as_secs() < 5, "{passed:?}");
    let (end, seen, _, _) = followed(&mut Modem::new(scenario("radio-off")), 20);
    assert_eq!((end, seen.phases.last().unwrap().0), (FollowEnd::TimeOver, Phase::RadioOff));
}

#[test]
fn a_modem_that_never_answers_ends_with_the_time() {
    let mut dead = scenario("healthy");
    dead.modem.just_started = true;
    dead.modem.restart_ms = 1_000_000;
    let (end, seen, _, passed) = followed(&mut Modem::new(dead), 30);
    assert_eq!((end, phases(&seen)), (FollowEnd::TimeOver, vec![Phase::Starts]));
    assert!(passed.as_secs() < 45, "{passed:?}");
}

#[test]
fn a_restart_on_the_way_is_told_and_the_time_counts_anew() {
    let mut restarts = scenario("healthy");
    restarts.network.attach_after_ms = 25_000;
    restarts.modem.just_started = true;
    restarts.fault = vec![Fault::new(FaultKind::Restart, 3_000, 8_000)];
    let mut modem = Modem::new(restarts);
    let (end, seen, text, _) = followed(&mut modem, 300);
    assert_eq!(end, FollowEnd::Connected, "{text}");
    assert!(seen.heard.iter().any(|line| line == "RDY"), "{:?}", seen.heard);
    assert!(modem.settings().reports.is_empty() && modem.settings().errors == 0);
    assert!(seen.phases.last().unwrap().1 < 40, "{:?}", seen.phases);
}

#[test]
fn a_card_that_is_busy_for_seconds_is_waited_for_by_an_examination() {
    let mut busy = scenario("healthy");
    busy.modem.just_started = true;
    busy.card.busy_ms = 7_000;
    let (text, whole, passed) = examined(&mut Modem::new(busy), 1000);
    assert!(whole && passed.as_secs() >= 6, "{passed:?}");
    assert_eq!(finding(&text), "connected", "{text}");
}
