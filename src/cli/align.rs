//! `mastside align`: a live screen for a person who turns an antenna.

use super::{Exit, live, refuse, system};
use crate::align::{State, draw};
use crate::at::Client;
use crate::caution;
use crate::survey::file::{FileError, SurveyFile};
use crate::survey::live::Live;
use crate::survey::reading::{Reading, Source};
use crate::survey::sample::{Head, Line as SurveyLine, Sample};
use crate::survey::simulate::{Pace, Place, Walker};
use ratatui::crossterm::event::{self, Event, KeyCode, KeyEventKind};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Turn an antenna with the signal in view
///
/// Level, quality and ratio, large; the best so far and where; a warning when the cell changes under
/// the hands; the direction that fits, once headings are given (left and right turn by 10 degrees).
#[derive(clap::Args, Debug)]
pub(super) struct Align {
    #[command(flatten)]
    line: live::LineArguments,
    /// A simulated antenna instead of a modem
    #[arg(long, value_name = "PLACE", conflicts_with_all = ["port", "via"])]
    simulate: Option<PathBuf>,
    /// Tones through the terminal's bell: the better the level, the faster
    #[arg(long)]
    tone: bool,
    /// The heading at which the antenna looks at the start, degrees from north
    #[arg(long, value_name = "DEGREES")]
    heading: Option<f64>,
    /// Keep what was heard at each heading as a survey in this file; an existing one is continued
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
}

impl Align {
    pub(super) fn run(self) -> Exit {
        eprintln!("Before you turn an antenna:");
        let width = super::width();
        for caution in caution::TURNING {
            let wrap = textwrap::Options::new(width).initial_indent("- ").subsequent_indent("  ");
            eprintln!("{}", textwrap::fill(caution, wrap));
        }
        if !std::io::stdout().is_terminal() {
            eprintln!(
                "mastside: align needs a terminal; `mastside survey record` writes samples without one"
            );
            return Exit::Unusable;
        }
        let stop = system::stop_flag();
        if let Some(path) = &self.simulate {
            let place = std::fs::read_to_string(path)
                .map_err(|e| e.to_string())
                .and_then(|t| Place::parse(&t).map_err(|e| e.to_string()));
            return match place {
                Ok(place) => self.turn(&mut Walker::new(place, Pace::Live).by_hand(), &stop),
                Err(error) => refuse(&format!("{}: {error}", path.display())),
            };
        }
        let (_, mut port) = match self.line.open() {
            Ok(open) => open,
            Err(exit) => return exit,
        };
        let mut client =
            Client::new(port.as_mut(), crate::port::Recorder::new(), &stop).telling(live::told);
        match Live::begin(&mut client, self.line.may_search()) {
            Ok(mut source) => {
                let exit = self.turn(&mut source, &stop);
                live::told_left(&source.end());
                exit
            }
            Err(error) => refuse(&error.to_string()),
        }
    }

    fn turn(&self, source: &mut dyn Source, stop: &AtomicBool) -> Exit {
        let mut saved =
            match self.save.as_deref().map(|path| Saved::open(path, self.simulate.is_some())) {
                None => None,
                Some(Ok(saved)) => Some(saved),
                Some(Err(error)) => return refuse(&error.to_string()),
            };
        eprintln!("Press Enter to begin.");
        match enter(stop) {
            Ok(true) => {}
            Ok(false) => return Exit::Done,
            Err(error) => return refuse(&error.to_string()),
        }
        let mut terminal = match ratatui::try_init() {
            Ok(terminal) => terminal,
            Err(error) => return refuse(&format!("the screen cannot be used: {error}")),
        };
        let mut state = State::default();
        if let Some(heading) = self.heading {
            state.turn(heading);
            source.turn_to(heading);
        }
        let mut last_tone = Instant::now();
        let ended = loop {
            if stop.load(Ordering::Relaxed) {
                break Ok(());
            }
            match source.read() {
                Ok(Some(reading)) => {
                    state.take(reading.clone());
                    if let Some(Err(error)) = saved.as_mut().map(|s| s.add(reading, &state)) {
                        break Err(format!("the sweep cannot be saved: {error}"));
                    }
                }
                Ok(None) => break Ok(()),
                Err(error) => state.trouble = Some(error.to_string()),
            }
            if let Err(error) = terminal.draw(|frame| draw(frame, &state, chrono::Utc::now())) {
                break Err(error.to_string());
            }
            if let Some(level) =
                state.latest.as_ref().and_then(|l| l.levels.rsrp_dbm).filter(|_| self.tone)
                && last_tone.elapsed() >= Duration::from_millis(State::tone_pause_ms(level))
            {
                print!("\x07");
                // A bell that is not heard is no error.
                let _ = std::io::stdout().flush();
                last_tone = Instant::now();
            }
            match keys(&mut state, source) {
                Ok(true) => break Ok(()),
                Ok(false) => {}
                Err(error) => break Err(error.to_string()),
            }
        };
        ratatui::restore();
        match ended {
            Ok(()) => {
                if let Some(best) = &state.best {
                    let at = best
                        .heading_deg
                        .map_or_else(String::new, |h| format!(" at {h:.0} degrees"));
                    println!("Best: {:.0} dBm{at}.", best.level_dbm);
                }
                Exit::Done
            }
            Err(error) => refuse(&error),
        }
    }
}

/// The survey file of a sweep.
struct Saved {
    file: SurveyFile,
    pass: u32,
}

impl Saved {
    fn open(path: &Path, rehearsal: bool) -> Result<Self, FileError> {
        let title = "Turning an antenna".to_owned();
        let head = Head { title, rehearsal, with_index: !rehearsal, ..Head::default() };
        let (file, found) = SurveyFile::open(path, &head)?;
        super::survey::tell_found(found);
        Ok(Self { file, pass: found.pass + 1 })
    }

    /// Adds a reading at the heading that the antenna looks to.
    fn add(&mut self, mut reading: Reading, state: &State) -> std::io::Result<()> {
        reading.heading_deg = reading.heading_deg.or(state.heading_deg);
        let sample = Sample::of(reading, self.file.next_number(), self.pass, None);
        self.file.append(&SurveyLine::Sample(sample))
    }
}

/// Waits for Enter; `false` where Ctrl-C came first.
///
/// The line is read in a thread of its own: a signal does not end the reading of a terminal.
fn enter(stop: &AtomicBool) -> std::io::Result<bool> {
    let (sender, receiver) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        // Nobody waits any more after Ctrl-C.
        let _ = sender.send(std::io::stdin().read_line(&mut String::new()));
    });
    loop {
        if stop.load(Ordering::Relaxed) {
            return Ok(false);
        }
        match receiver.recv_timeout(Duration::from_millis(50)) {
            Ok(read) => return read.map(|_| true),
            Err(std::sync::mpsc::RecvTimeoutError::Timeout) => {}
            Err(std::sync::mpsc::RecvTimeoutError::Disconnected) => return Ok(false),
        }
    }
}

/// Takes the keys that are pressed; `true` to end.
fn keys(state: &mut State, source: &mut dyn Source) -> std::io::Result<bool> {
    while event::poll(Duration::from_millis(1))? {
        let Event::Key(key) = event::read()? else { continue };
        if key.kind != KeyEventKind::Press {
            continue;
        }
        let now = state.heading_deg.unwrap_or(0.0);
        let turned = match key.code {
            KeyCode::Char('q') | KeyCode::Esc => return Ok(true),
            KeyCode::Char('c') if key.modifiers.contains(event::KeyModifiers::CONTROL) => {
                return Ok(true);
            }
            KeyCode::Right => Some(now + 10.0),
            KeyCode::Left => Some(now - 10.0),
            _ => None,
        };
        if let Some(heading) = turned {
            state.turn(heading);
            source.turn_to(heading.rem_euclid(360.0));
        }
    }
    Ok(false)
}
