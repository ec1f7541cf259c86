//! What the screen of `align` adds to a modem's answer: a reading taken and a frame drawn, with a
//! whole sweep behind it (the fit of the antenna's direction included).

use chrono::Utc;
use mastside::align::{State, draw};
use mastside::survey::reading::Source;
use mastside::survey::simulate::{Pace, Place, Walker};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

fn main() {
    divan::main();
}

fn swept() -> (State, mastside::survey::reading::Reading) {
    let text = include_str!("../demo/sweep/hut-antenna.toml");
    let mut walker = Walker::new(Place::parse(text).unwrap(), Pace::AtOnce);
    let mut state = State::default();
    let mut last = walker.read().unwrap().unwrap();
    for _ in 0..500 {
        let Some(reading) = walker.read().unwrap() else { break };
        last = reading.clone();
        state.take(reading);
    }
    (state, last)
}

#[divan::bench(args = [(80, 24), (40, 20)])]
fn take_and_draw(bencher: divan::Bencher<'_, '_>, (width, height): (u16, u16)) {
    let (state, reading) = swept();
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    bencher.bench_local(|| {
        let mut state = state.clone();
        state.take(reading.clone());
        terminal.draw(|frame| draw(frame, &state, Utc::now())).unwrap();
    });
}
