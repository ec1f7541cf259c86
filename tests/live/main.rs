//! Live work against simulated modems: examinations, amendments, faults at every byte.

mod amend;
mod examine;
mod faults;
mod follow;
mod fresh;
mod lines;
mod signals;
mod unlike;

use mastside::at::{Client, is_read};
use mastside::capture::Capture;
use mastside::carrier::ProfileStore;
use mastside::case::Case;
use mastside::explanation::{Basis, Explanation, View};
use mastside::live::{Change, Journal, ModemIdentity, Refusal, SameModem, Undo, examine};
use mastside::port::{Port, Recorder};
use mastside::simulator::{Fault, FaultKind, Line, Modem, Replay, Scenario};
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// Every scenario of the demo by its name; the files are read once.
fn scenarios() -> Vec<(String, Scenario)> {
    static READ: std::sync::OnceLock<Vec<(String, Scenario)>> = std::sync::OnceLock::new();
    READ.get_or_init(read_scenarios).clone()
}

fn read_scenarios() -> Vec<(String, Scenario)> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/scenarios"));
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| {
            (p.file_stem().unwrap().to_string_lossy().into_owned(), Scenario::load(&p).unwrap())
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(found.len() >= 14);
    found
}

/// Runs `examine` over a simulated line; gives the recording.
fn examined(modem: &mut Modem, piece: usize) -> (String, bool, Duration) {
    let stop = AtomicBool::new(false);
    let mut line = Line::new(modem, piece);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let run = examine(&mut client, &ProfileStore::shipped(), false, &mut ());
    let text = client.recorded().to_owned();
    let passed = line.passed();
    (text, run.ended.is_none() && run.not_restored.is_empty(), passed)
}

fn finding(text: &str) -> &'static str {
    let profiles = ProfileStore::shipped();
    Explanation::of(text, Vec::new(), &Basis::of(&profiles), View::default())
        .unwrap()
        .verdict()
        .id()
}

fn scenario(wanted: &str) -> Scenario {
    scenarios().into_iter().find(|(name, _)| name == wanted).unwrap().1
}

/// A client of a simulated modem for the time of a closure; how much time passed by the line's clock.
fn with_client<T>(
    modem: &mut Modem,
    stop: &AtomicBool,
    work: impl FnOnce(&mut Client<'_>) -> T,
) -> (T, String, Duration) {
    let mut line = Line::new(modem, 1000);
    let (worked, text) = {
        let mut client = Client::new(&mut line, Recorder::new(), stop);
        let worked = work(&mut client);
        client.restore();
        (worked, client.recorded().to_owned())
    };
    (worked, text, line.passed())
}

/// A journal in a folder of its own.
fn journal() -> (tempfile::TempDir, Journal) {
    let folder = tempfile::tempdir().unwrap();
    let journal = Journal::in_folder(folder.path().to_owned(), "/dev/ttyUSB2");
    (folder, journal)
}

/// Plans and makes a change as `mastside amend` does; gives the undo file.
fn make(
    client: &mut Client<'_>,
    change: &Change,
    journal: &Journal,
) -> Result<Option<Undo>, Refusal> {
    if !client.wake(false)? {
        return Err(Refusal::Impossible("nothing answers".into()));
    }
    let mut same = SameModem::read(client, journal.key()?)?;
    PLANNED.with(|kept| kept.replace(Some(same.identity().clone())));
    let amendment = change.plan(client)?;
    let undo = amendment.undo_file("now".into(), same.identity().clone());
    // An undo file is written before anything is changed, and stays whatever becomes of the change.
    UNDO.with(|kept| kept.replace(undo.clone()));
    let applied = amendment.apply(client, journal, &mut same)?;
    NOT_PROVED.with(|kept| kept.replace(applied.not_proved));
    Ok(undo)
}

thread_local! {
    /// The modem that the last change was planned for.
    static PLANNED: std::cell::RefCell<Option<ModemIdentity>> = const { std::cell::RefCell::new(None) };
    /// What of the last change was written and not proved.
    static NOT_PROVED: std::cell::RefCell<Vec<String>> = const { std::cell::RefCell::new(Vec::new()) };
    /// The undo file of the last change, as it lies on the disk.
    static UNDO: std::cell::RefCell<Option<Undo>> = const { std::cell::RefCell::new(None) };
}

fn access_point(name: &str) -> Change {
    Change::AccessPoint { context: 1, name: name.into(), address: None, login: None }
}
