use super::*;
use crate::case::Domain;
use crate::reference::causes::CauseList;
use crate::survey::sample::tests_sample;

fn at(seconds: u64) -> Moment {
    let begin = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
    Moment { at: begin + Duration::from_secs(seconds), now: Duration::from_secs(seconds) }
}

fn stat(stat: u8) -> Look {
    Look { states: vec![(Domain::Eps, stat)], ..Look::default() }
}

fn kinds(events: &[Event]) -> Vec<Kind> {
    events.iter().map(|e| e.kind).collect()
}

#[test]
fn a_loss_has_its_cause_and_the_span_in_which_it_lasted() {
    let mut state = State::new(None);
    assert!(state.look(&stat(1), at(0)).is_empty());
    assert!(state.look(&stat(1), at(30)).is_empty());
    let lost = state.look(&stat(2), at(60));
    assert_eq!(kinds(&lost), [Kind::RegistrationLost]);
    assert!(state.look(&stat(2), at(90)).is_empty());
    let refusal = Some(Refusal { list: CauseList::Emm, number: 15 });
    let told = state.look(&Look { refusal, ..stat(3) }, at(120));
    assert_eq!((kinds(&told), &*told[0].cause), (vec![Kind::Note], "emm 15"));
    let back = state.look(&stat(5), at(150));
    assert_eq!(kinds(&back), [Kind::RegistrationRegained]);
    assert_eq!((back[0].duration_s, back[0].at_most_s), (Some(90.0), Some(120.0)));
    assert_eq!(back[0].cause, "emm 15");
    assert_eq!(state.out_since(), None);
}

#[test]
fn an_outage_from_the_beginning_has_no_upper_bound() {
    let mut state = State::new(None);
    let lost = state.look(&stat(3), at(0));
    assert!(lost[0].text.contains("as the watch began"), "{}", lost[0].text);
    let back = state.look(&stat(1), at(60));
    assert_eq!((back[0].duration_s, back[0].at_most_s), (Some(60.0), None));
}

#[test]
fn the_level_has_a_threshold_with_hysteresis() {
    let mut state = State::new(Some(-105.0));
    state.look(&stat(1), at(0));
    let mut seen = Vec::new();
    for level in
        [-104.0, -106.0, -104.0, -106.0, -107.0, -104.0, -103.0, -101.0, -103.0, -101.0, -100.0]
    {
        let mut sample = tests_sample(1);
        sample.levels.rsrp_dbm = Some(level);
        seen.extend(state.sample(&sample).into_iter().map(|e| (e.kind, e.level_dbm.unwrap())));
    }
    assert_eq!(seen, [(Kind::LevelLow, -107.0), (Kind::LevelRecovered, -100.0)]);
}

#[test]
fn a_cell_that_is_not_told_is_no_other_cell() {
    let mut state = State::new(None);
    state.look(&stat(1), at(0));
    let mut sample = tests_sample(1);
    let mut cells = Vec::new();
    for (pci, band) in
        [(Some(12), Some(20)), (None, None), (Some(12), Some(20)), (Some(13), Some(3))]
    {
        (sample.cell.pci, sample.cell.band) = (pci, band);
        cells.extend(kinds(&state.sample(&sample)));
    }
    assert_eq!(cells, [Kind::BandChanged, Kind::CellChanged]);
}

#[test]
fn an_address_that_changes_is_an_event_and_does_not_stand_in_it() {
    let mut state = State::new(None);
    let with = |address: &str| Look { addresses: [(1, address.into())].into(), ..stat(1) };
    assert!(state.look(&with("192.0.2.44"), at(0)).is_empty());
    let changed = state.look(&with("192.0.2.45"), at(30));
    assert_eq!((kinds(&changed), &*changed[0].text), (vec![Kind::AddressChanged], "context 1"));
    assert_eq!(kinds(&state.look(&with("0.0.0.0"), at(60))), [Kind::SessionLost]);
    assert_eq!(kinds(&state.look(&with("192.0.2.45"), at(90))), [Kind::SessionRegained]);
}

#[test]
fn a_modem_that_never_had_an_address_has_lost_no_session() {
    let mut state = State::new(None);
    let look = Look { addresses: [(1, String::new())].into(), ..stat(1) };
    assert!(state.look(&look, at(0)).is_empty() && state.look(&look, at(30)).is_empty());
}

#[test]
fn traffic_is_lost_after_three_probes_of_a_registered_modem() {
    let mut state = State::new(None);
    assert!((0..9).all(|n| state.probed(false, at(n), "").is_none()), "nothing is known of it");
    state.look(&stat(1), at(10));
    let events: Vec<_> = (11..15).filter_map(|n| state.probed(false, at(n), "silent")).collect();
    assert_eq!(kinds(&events), [Kind::TrafficLost]);
    assert_eq!(events[0].at, at(13).at);
    assert_eq!(state.probed(true, at(20), "").unwrap().kind, Kind::TrafficRegained);
}

#[test]
fn a_card_is_in_trouble_once() {
    let mut state = State::new(None);
    let card = |card| Look { card: Some(card), ..Look::default() };
    let mut seen = Vec::new();
    for sim in [Sim::Ready, Sim::Busy, Sim::NotInserted, Sim::NotInserted, Sim::Ready] {
        seen.extend(kinds(&state.look(&card(sim), at(0))));
    }
    assert_eq!(seen, [Kind::CardTrouble, Kind::CardReady]);
}
