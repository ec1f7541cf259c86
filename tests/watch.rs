//! The watch over a simulated modem in simulated time, and as a program that is killed.

#[path = "watch/computer.rs"]
mod computer;

use chrono::DateTime;
use computer::Simulated;
use mastside::carrier::ProfileStore;
use mastside::explanation::Basis;
use mastside::port::Port;
use mastside::watch::{
    Entry, Event, Figures, Head, Host, Kind, Limits, Log, Settings, Snapshot, Summary, Watch,
};
use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

struct Watched {
    summary: Summary,
    events: Vec<Event>,
    figures: Snapshot,
}

fn watch(computer: &mut Simulated, folder: &Path, every_s: u64, for_s: u64) -> Watched {
    let captures = folder.join("watch-captures");
    let head = Head::of("Mill Race", every_s as f64, None, false);
    let limits = Limits { file: 4_000_000, whole: 100_000_000 };
    let log = Log::open(&folder.join("watch.jsonl"), &captures, head, limits, computer.wall());
    let settings = Settings {
        every: Duration::from_secs(every_s),
        lasts: Some(Duration::from_secs(for_s)),
        low_dbm: None,
        captures,
        search_speed: false,
        seed: 7,
    };
    let profiles = ProfileStore::default();
    let (figures, stop) = (Figures::default(), AtomicBool::new(false));
    let basis = Basis::of(&profiles);
    let watch = Watch::new(computer, log.unwrap(), &figures, settings, basis, &stop);
    let summary = watch.run().unwrap();
    Watched { summary, events: computer.told.clone(), figures: figures.snapshot() }
}

fn of_kind(watched: &Watched, kind: Kind) -> Vec<&Event> {
    watched.events.iter().filter(|e| e.kind == kind).collect()
}

/// Every line of the log that is written.
fn entries(folder: &Path) -> Vec<Entry> {
    let text = std::fs::read_to_string(folder.join("watch.jsonl")).unwrap();
    text.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

#[test]
fn an_outage_is_dated_explained_and_over() {
    let folder = tempfile::tempdir().unwrap();
    let outage = "[[network.outage]]\nafter_s = 100\nlasts_s = 50\nemm_cause = 22\n";
    let watched = watch(&mut Simulated::of(outage), folder.path(), 30, 300);
    assert_eq!(watched.summary.outages, 1);
    let lost = of_kind(&watched, Kind::RegistrationLost)[0];
    let from_start = (lost.at - DateTime::from_timestamp(1_790_000_000, 0).unwrap()).num_seconds();
    assert!((100..=101).contains(&from_start), "the report comes by itself: {from_start}");
    assert_eq!(lost.cause, "emm 22");
    let explained = of_kind(&watched, Kind::Explained);
    assert_eq!(explained.len(), 1);
    assert_eq!(explained[0].finding, "registration/network-trouble");
    let capture = std::fs::read_to_string(&explained[0].capture).unwrap();
    assert!(capture.contains("+CEREG: 3") && capture.contains("AT+CPIN?"), "{capture}");
    let back = of_kind(&watched, Kind::RegistrationRegained)[0];
    let lasted = back.duration_s.unwrap();
    assert!((48.0..=51.0).contains(&lasted), "{lasted}");
    assert!(back.at_most_s.unwrap() >= 50.0);
    assert_eq!(watched.figures.outages["registration/network-trouble"], 1);
    assert_eq!(watched.figures.registered, Some(true));
    // A live run that is explained from its capture gives the same verdict.
    let profiles = ProfileStore::default();
    let again = mastside::explanation::Explanation::of(
        &capture,
        Vec::new(),
        &Basis::of(&profiles),
        mastside::explanation::View::default(),
    );
    assert_eq!(again.unwrap().verdict().id(), explained[0].finding);
}

#[test]
fn a_survey_reads_the_log_and_passes_over_the_events() {
    let folder = tempfile::tempdir().unwrap();
    let outage = "[[network.outage]]\nafter_s = 100\nlasts_s = 50\n";
    watch(&mut Simulated::of(outage), folder.path(), 10, 300);
    let visit = mastside::survey::visits::latest(&folder.path().join("watch.jsonl")).unwrap();
    assert_eq!(visit.site, "Mill Race");
    assert_eq!((visit.analysis.damaged, visit.analysis.problems.count), (0, 0));
    assert!(visit.analysis.samples >= 28, "{}", visit.analysis.samples);
}

#[test]
fn nothing_is_written_to_the_modem_but_what_reads_need_and_it_is_put_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut computer = Simulated::of("[[network.outage]]\nafter_s = 60\nlasts_s = 30\n");
    watch(&mut computer, folder.path(), 10, 200);
    let mut line = computer.line.lock().unwrap();
    let mut read = |command: &str| {
        line.write(format!("{command}\r").as_bytes()).unwrap();
        let mut answer = Vec::new();
        let mut bytes = [0; 256];
        while !String::from_utf8_lossy(&answer).contains("OK") {
            let n = line.read(&mut bytes, Duration::from_secs(1)).unwrap();
            assert!(n > 0, "{command}");
            answer.extend_from_slice(&bytes[..n]);
        }
        String::from_utf8(answer).unwrap()
    };
    assert!(read("AT+CMEE?").contains("+CMEE: 0"));
    assert!(read("AT+CEREG?").contains("+CEREG: 0,"));
}

#[test]
fn restarts_and_an_unplugged_port_are_events() {
    let folder = tempfile::tempdir().unwrap();
    let faults = "[[fault]]\nkind = \"restart\"\nat = 3000\nms = 4000\n\
                  [[fault]]\nkind = \"away\"\nat = 6000\nms = 20000\n";
    let watched = watch(&mut Simulated::of(faults), folder.path(), 10, 900);
    assert!(!of_kind(&watched, Kind::Restarted).is_empty(), "{:#?}", watched.events);
    assert_eq!(of_kind(&watched, Kind::PortAway).len(), 1, "{:#?}", watched.events);
    let back = of_kind(&watched, Kind::PortBack)[0].duration_s.unwrap();
    assert!((19.0..=22.0).contains(&back), "{back}");
    assert_eq!(watched.figures.outages["port-away"], 1);
    assert!(!watched.summary.is_out);
}

#[test]
fn a_port_that_another_program_holds_is_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let mut computer = Simulated::of("");
    computer.busy = 0..100;
    let watched = watch(&mut computer, folder.path(), 30, 300);
    let busy = of_kind(&watched, Kind::PortBusy);
    assert_eq!((busy.len(), &*busy[0].text), (1, "(other, process 7)"));
    assert_eq!(of_kind(&watched, Kind::PortFree).len(), 1);
    assert_eq!(watched.summary.outages, 0, "nothing is known of that time");
    assert!(watched.summary.samples >= 5);
}

#[test]
fn a_step_of_the_clock_is_an_event_and_no_outage_grows_by_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut computer = Simulated::of("[[network.outage]]\nafter_s = 100\nlasts_s = 60\n");
    computer.step = Some((130, -3600));
    let watched = watch(&mut computer, folder.path(), 10, 300);
    let steps = of_kind(&watched, Kind::ClockStep);
    assert_eq!((steps.len(), steps[0].seconds), (1, Some(-3600.0)));
    let lasted = of_kind(&watched, Kind::RegistrationRegained)[0].duration_s.unwrap();
    assert!((58.0..=61.0).contains(&lasted), "{lasted}");
}

#[test]
fn a_link_without_traffic_is_an_outage() {
    let folder = tempfile::tempdir().unwrap();
    let mut computer = Simulated::of("");
    computer.silent_host = 100..160;
    let watched = watch(&mut computer, folder.path(), 10, 300);
    assert_eq!(of_kind(&watched, Kind::TrafficLost)[0].text, "no route");
    assert_eq!(of_kind(&watched, Kind::TrafficRegained).len(), 1);
    assert_eq!(watched.summary.outages, 1);
    assert_eq!(watched.figures.traffic, Some(true));
}

#[test]
fn a_modem_that_falls_silent_is_an_outage() {
    let folder = tempfile::tempdir().unwrap();
    let stall = "[[fault]]\nkind = \"stall\"\nat = 3000\n";
    let watched = watch(&mut Simulated::of(stall), folder.path(), 10, 900);
    assert_eq!(of_kind(&watched, Kind::NoAnswer).len(), 1, "{:#?}", watched.events);
    assert!(watched.summary.is_out);
}

#[test]
fn a_watch_goes_on_in_the_log_of_the_last_one() {
    let folder = tempfile::tempdir().unwrap();
    watch(&mut Simulated::of(""), folder.path(), 10, 60);
    let first = entries(folder.path()).len();
    watch(&mut Simulated::of(""), folder.path(), 10, 60);
    let all = entries(folder.path());
    assert!(
        matches!(&all[first], Entry::Event(e) if e.kind == Kind::Started && e.seconds.is_some())
    );
    let numbers: Vec<u64> = all
        .iter()
        .filter_map(|e| if let Entry::Sample(s) = e { Some(s.number) } else { None })
        .collect();
    assert!(numbers.windows(2).all(|w| w[0] + 1 == w[1]), "{numbers:?}");
}

/// What this process holds, in bytes, and its open files.
#[cfg(target_os = "linux")]
fn held() -> (u64, usize) {
    let pages = std::fs::read_to_string("/proc/self/statm").unwrap();
    let pages: u64 = pages.split(' ').nth(1).unwrap().parse().unwrap();
    (pages * 4096, std::fs::read_dir("/proc/self/fd").unwrap().count())
}

/// Ten days with an outage every six hours. By default one reading in ten minutes; `.ci/deep` reads every 30 s.
#[cfg(target_os = "linux")]
#[test]
fn ten_days_leave_memory_and_open_files_as_they_are() {
    let every =
        std::env::var("MASTSIDE_TEN_DAYS_EVERY_S").map_or(600, |s| s.parse::<u64>().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let outages =
        "[[network.outage]]\nafter_s = 9000\nlasts_s = 300\nevery_s = 21600\nemm_cause = 22\n";
    let mut computer = Simulated::of(outages);
    // The first day fills caches and what is kept of the last hour.
    watch(&mut computer, folder.path(), every, 86_400);
    let (before, files) = held();
    computer.told.clear();
    let watched = watch(&mut computer, folder.path(), every, 9 * 86_400);
    let (after, files_after) = held();
    assert_eq!(of_kind(&watched, Kind::RegistrationRegained).len(), 36);
    assert_eq!(of_kind(&watched, Kind::Explained).len(), 36);
    let grown = after.saturating_sub(before);
    eprintln!("{} samples, grown by {grown} bytes", watched.summary.samples);
    assert!(grown < 4_000_000, "grown by {grown} bytes");
    assert!(files_after <= files, "{files} open files before, {files_after} after");
    assert!(watched.summary.samples >= 9 * 86_400 / every * 9 / 10);
}

/// The report of what was watched.
fn reported(folder: &Path) -> (Vec<mastside::watch::report::Site>, String) {
    let sites = mastside::watch::report::read_all(&[folder.join("watch.jsonl")]).unwrap();
    let text = mastside::watch::report::text(&sites);
    (sites, text)
}

#[test]
fn the_report_has_the_time_of_every_outage_and_no_other() {
    let folder = tempfile::tempdir().unwrap();
    // Two days from 14:13:20 UTC: eight outages of five minutes.
    let outages = "rsrp_dbm_in_turn = [-101.0, -103.0]\n[[network.outage]]\nafter_s = 9000\nlasts_s = 300\nevery_s = 21600\nemm_cause = 22\n";
    let mut computer = Simulated::of(&format!("[network]\n{outages}"));
    watch(&mut computer, folder.path(), 60, 2 * 86_400);
    let (sites, text) = reported(folder.path());
    let site = &sites[0];
    assert_eq!(
        (site.name.as_str(), site.outages.len(), site.days.len()),
        ("Mill Race", 8, 3),
        "{text}"
    );
    let (well, out, unknown) = site
        .days
        .values()
        .fold((0.0, 0.0, 0.0), |(w, o, u), day| (w + day.well_s, o + day.out_s, u + day.unknown_s));
    assert!((out - 8.0 * 300.0).abs() < 8.0 * 5.0, "{out}");
    assert!(unknown < 10.0 && (well + out + unknown - 172_800.0).abs() < 120.0, "{well} {unknown}");
    for outage in &site.outages {
        assert_eq!(
            (outage.counts_as().as_str(), outage.is_over),
            ("registration/network-trouble", true)
        );
        assert!((-104.0..-100.0).contains(&outage.level_before_dbm.unwrap()), "{outage:?}");
        assert!(outage.earlier_s.unwrap() <= 66.0, "one reading before, at most");
    }
    assert!(text.contains("available             98.6"), "{text}");
    assert!(text.contains("8  40 min       registration/network-trouble"), "{text}");
    let page = mastside::watch::report::page(&sites);
    assert!(page.contains("Watch of Mill Race") && page.contains("<svg"));
}

#[test]
fn time_that_nobody_watched_is_not_known() {
    let folder = tempfile::tempdir().unwrap();
    watch(&mut Simulated::of(""), folder.path(), 30, 600);
    // The next watch begins at the same simulated moment plus an hour.
    let mut later = Simulated::of("");
    later.step = Some((0, 3600));
    later.busy = 0..120;
    watch(&mut later, folder.path(), 30, 600);
    let (sites, text) = reported(folder.path());
    let unknown: f64 = sites[0].days.values().map(|d| d.unknown_s).sum();
    assert!((3100.0..3200.0).contains(&unknown), "{unknown}\n{text}");
    assert_eq!(sites[0].outages.len(), 0);
    assert!(text.contains("no outage, so at least"), "{text}");
}

#[test]
fn an_outage_that_lasts_at_the_end_is_no_repair() {
    let folder = tempfile::tempdir().unwrap();
    let gone = "[[network.outage]]\nafter_s = 300\nlasts_s = 100000\n";
    let watched = watch(&mut Simulated::of(gone), folder.path(), 30, 1200);
    assert!(watched.summary.is_out);
    assert_eq!(of_kind(&watched, Kind::Explained).len(), 2, "at once, and after five minutes");
    let (sites, text) = reported(folder.path());
    assert!(!sites[0].outages[0].is_over && !text.contains("time to repair"), "{text}");
    assert!(text.contains("15 min or longer"), "{text}");
}
