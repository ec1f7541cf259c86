use super::*;
use crate::carrier::ProfileStore;
use crate::explanation::{Basis, Explanation, View};
use chrono::{TimeZone, Utc};
use proptest::prelude::*;
use std::path::Path;

const FIRST: &str = "AT+CIMI\n001010123456789\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n";
const ANSWER: &str = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n";
const OWN_ERROR: &str = "AT+CGMI\nHeron Modules\nOK\nAT+CPIN?\n+CME ERROR: 951\n";

fn now() -> chrono::DateTime<Utc> {
    Utc.with_ymd_and_hms(2026, 3, 2, 8, 30, 0).unwrap()
}

/// Adds a text and keeps its verdict, as the commands do.
fn given(folder: &Path, text: &str) -> Ticket {
    let head = Head { site: Some("Alder Ford".into()), opened: Some(now()), ..Head::default() };
    let mut ticket = Ticket::open_or_create(folder, head).unwrap();
    ticket.add(text, false).unwrap();
    let (whole, parts) = ticket.joined(usize::MAX).unwrap();
    let profiles = ProfileStore::default();
    let basis = Basis::of(&profiles);
    let explanation = Explanation::of(&whole, parts.clone(), &basis, View::default()).unwrap();
    let progress = Ticket::progress(&explanation, &whole, &parts, &basis).unwrap();
    ticket.note(Step::of(&explanation, progress.as_ref(), now())).unwrap();
    ticket
}

fn closed(folder: &Path, text: &str, note: &str) {
    let closing = Closing { format: 1, closed: now(), note: note.into(), was: None };
    assert!(given(folder, text).close(closing).unwrap());
}

#[test]
fn texts_are_kept_in_order_redacted_and_each_with_its_verdict() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("T-1");
    given(&path, FIRST);
    given(&path, ANSWER);
    let ticket = Ticket::open(&path).unwrap();
    let steps: Vec<_> = ticket.texts.iter().map(|t| t.step.clone().unwrap()).collect();
    let findings: Vec<_> = steps.iter().map(|s| s.finding.as_str()).collect();
    assert_eq!(findings, ["registration/denied", "registration/subscriber"]);
    assert!(steps[0].asked.iter().any(|a| a == "AT+CEREG=3"), "{steps:?}");
    assert!(steps[1].answered.iter().any(|a| a == "AT+CEREG=3"), "{steps:?}");
    assert!(!steps[1].asked.iter().any(|a| a == "AT+CEREG=3"), "{steps:?}");
    assert!(!steps[1].settled.is_empty());
    for entry in std::fs::read_dir(&path).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        assert!(!text.contains("001010123456789"), "{text}");
    }
}

#[test]
fn originals_are_kept_only_when_that_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let mut ticket = Ticket::open_or_create(folder.path(), Head::default()).unwrap();
    assert!(ticket.add(FIRST, true).unwrap());
    assert_eq!(ticket.joined(9).unwrap().0, FIRST);
    assert!(!ticket.add(FIRST, true).unwrap(), "the same text is kept once");
    assert!(ticket.add(FIRST, false).unwrap());
}

/// A crash between the two writes leaves a text without a verdict.
#[test]
fn a_text_that_could_not_be_read_back_is_refused_and_the_ticket_stays_readable() {
    let folder = tempfile::tempdir().unwrap();
    let mut ticket = Ticket::open_or_create(folder.path(), Head::default()).unwrap();
    assert!(ticket.add("\0\0", true).is_err());
    assert!(ticket.add(&"AT\u{1}".repeat(20), true).is_err());
    assert!(ticket.add(FIRST, true).unwrap());
    assert_eq!(Ticket::open(folder.path()).unwrap().joined(9).unwrap().0, FIRST);
}

#[test]
fn a_text_without_its_verdict_is_judged_at_the_next_opening() {
    let folder = tempfile::tempdir().unwrap();
    given(folder.path(), FIRST);
    std::fs::remove_file(folder.path().join("verdict-01.toml")).unwrap();
    std::fs::write(folder.path().join(".new-torn"), "half").unwrap();
    let ticket = Ticket::open(folder.path()).unwrap();
    assert!(ticket.texts.len() == 1 && ticket.last_step().is_none());
    let profiles = ProfileStore::default();
    let seen = again(&ticket, &Basis::of(&profiles), now()).unwrap();
    assert_eq!(seen[0].now.finding, "registration/denied");
    assert!(history(&ticket, &seen).contains("no verdict was kept"));
    let ticket = given(folder.path(), FIRST);
    assert!(ticket.texts.len() == 1 && ticket.last_step().is_some());
}

#[test]
fn no_file_is_ever_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let mut one = Ticket::open_or_create(folder.path(), Head::default()).unwrap();
    let mut other = Ticket::open(folder.path()).unwrap();
    assert!(one.add(FIRST, false).unwrap() && other.add(ANSWER, false).unwrap());
    let both = Ticket::open(folder.path()).unwrap();
    assert_eq!(both.texts.len(), 2);
    assert!(both.joined(2).unwrap().0.contains("+CEREG: 3,3,,,,0,8"));
    let closing = Closing { format: 1, closed: now(), note: "worn holder".into(), was: None };
    assert!(one.close(closing.clone()).unwrap());
    assert!(!other.close(Closing { note: "another".into(), ..closing }).unwrap());
    let mut ticket = Ticket::open(folder.path()).unwrap();
    assert_eq!(ticket.closing.as_ref().unwrap().note, "worn holder");
    assert!(matches!(ticket.add(OWN_ERROR, false), Err(TicketError::Closed(_))));
    assert!(ticket.reopen().unwrap() && ticket.add(OWN_ERROR, false).unwrap());
    assert!(folder.path().join("closing-01.toml").is_file());
}

#[test]
fn a_later_version_says_what_it_sees_differently() {
    let folder = tempfile::tempdir().unwrap();
    given(folder.path(), FIRST);
    let path = folder.path().join("verdict-01.toml");
    let kept = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, kept.replace("registration/denied", "radio/weak")).unwrap();
    let ticket = Ticket::open(folder.path()).unwrap();
    let profiles = ProfileStore::default();
    let seen = again(&ticket, &Basis::of(&profiles), now()).unwrap();
    assert!(seen[0].differs);
    let page = history(&ticket, &seen);
    assert!(page.contains("this version of the program says: registration/denied"), "{page}");
}

#[cfg(unix)]
#[test]
fn hostile_folders_are_refused_or_passed_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("T-1");
    given(&path, FIRST);
    // A link out of the folder is not read.
    std::os::unix::fs::symlink("/etc/hostname", path.join("text-02.txt")).unwrap();
    let ticket = Ticket::open(&path).unwrap();
    let error = ticket.joined(9).unwrap_err().to_string();
    assert!(error.contains("no plain file"), "{error}");
    std::fs::remove_file(path.join("text-02.txt")).unwrap();
    // Numbers that are none, a folder in a file's place.
    for name in ["text-x.txt", "text-9999.txt", "text--1.txt", "text-.txt", "TEXT-01.txt"] {
        std::fs::write(path.join(name), "x").unwrap();
    }
    assert_eq!(Ticket::open(&path).unwrap().texts.len(), 1);
    std::fs::create_dir(path.join("text-07.txt")).unwrap();
    assert!(Ticket::open(&path).unwrap().joined(9).is_err());
    std::fs::remove_dir(path.join("text-07.txt")).unwrap();
    // Settings that are none, or of a later program; the other tickets are listed.
    given(&folder.path().join("T-2"), FIRST);
    std::fs::write(path.join("ticket.toml"), "format = 1\nnumber = [\n").unwrap();
    let all = listing(folder.path()).unwrap();
    assert_eq!((all.tickets.len(), all.damaged.len()), (1, 1));
    assert!(all.damaged[0].contains("ticket.toml, line 2"), "{:?}", all.damaged);
    std::fs::write(path.join("ticket.toml"), "format = 9\n").unwrap();
    let error = Ticket::open(&path).unwrap_err().to_string();
    assert!(error.contains("newer program"), "{error}");
    // A folder with other things in it is no ticket, and nothing is written there.
    let other = folder.path().join("other");
    std::fs::create_dir(&other).unwrap();
    std::fs::write(other.join("letter.txt"), "x").unwrap();
    let refused = Ticket::open_or_create(&other, Head::default());
    assert!(matches!(refused, Err(TicketError::NoTicket(_))));
    assert_eq!(std::fs::read_dir(&other).unwrap().count(), 1);
}

#[test]
fn whatever_stands_in_a_ticket_is_safe_to_print() {
    let folder = tempfile::tempdir().unwrap();
    given(folder.path(), FIRST);
    std::fs::write(
        folder.path().join("ticket.toml"),
        "number = \"\\u001b[2J\"\nsite = \"a\\nb\\u202e\"\nnotes = [\"\\u0007\"]\n",
    )
    .unwrap();
    let ticket = Ticket::open(folder.path()).unwrap();
    for page in
        [history(&ticket, &[]), Listing { tickets: vec![ticket], damaged: vec![] }.text(now())]
    {
        assert!(!page.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{page:?}");
    }
}

#[test]
fn closed_tickets_answer_the_next_one_with_the_same_number_of_the_same_vendor() {
    let folder = tempfile::tempdir().unwrap();
    closed(&folder.path().join("a"), OWN_ERROR, "worn holder");
    closed(&folder.path().join("b"), OWN_ERROR, "Worn holder");
    closed(&folder.path().join("c"), OWN_ERROR, "card of another kind");
    let others = OWN_ERROR.replace("Heron", "Swan");
    closed(&folder.path().join("d"), &others, "firmware");
    let open = given(&folder.path().join("e"), OWN_ERROR);
    let tickets = listing(folder.path()).unwrap().tickets;
    let lines = experience(&tickets, open.last_step().unwrap());
    assert_eq!(lines.len(), 1, "{lines:?}");
    let line = lines[0].to_ascii_lowercase();
    assert!(
        line.starts_with("error 951: seen in 3 closed tickets: worn holder (2); card"),
        "{line}"
    );
    let traits = Traits::of(open.last_step().unwrap());
    let found = alike(&tickets, &traits, false);
    assert!(found.len() >= 4 && found[0].ticket.closing.is_some());
    assert!(found[0].shared.iter().any(|s| s == "error 951"), "{:?}", found[0].shared);
    let named = Traits { errors: vec![952], ..Traits::default() };
    assert!(alike(&tickets, &named, true).is_empty());
}

#[test]
fn open_tickets_are_listed_by_who_must_act_and_by_age() {
    let folder = tempfile::tempdir().unwrap();
    given(&folder.path().join("a"), FIRST);
    closed(&folder.path().join("b"), FIRST, "contract");
    given(&folder.path().join("c"), "AT+CPIN?\n+CPIN: SIM PIN\nOK\n");
    let all = listing(folder.path()).unwrap().chosen(false, None);
    assert_eq!(all.tickets.len(), 2);
    let page = all.text(now() + chrono::TimeDelta::days(3));
    assert!(page.starts_with("2 open tickets") && page.contains("3 days"), "{page}");
    let all = listing(folder.path()).unwrap().chosen(true, None);
    assert_eq!(all.tickets.len(), 3);
    assert!(all.text(now()).contains("closed: contract"));
}

#[test]
fn names_of_tickets_lead_nowhere_else() {
    for name in ["T-1042", "alder.ford_2", "0"] {
        assert!(is_name(name), "{name}");
    }
    for name in ["", ".", "..", "a/b", "a\\b", "/etc", ".git", "-x", "a b", "a.", "\u{e9}", "a\0"] {
        assert!(!is_name(name), "{name:?}");
    }
}

proptest! {
    #[test]
    fn whatever_a_file_holds_is_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let folder = tempfile::tempdir().unwrap();
        for name in ["ticket.toml", "closing.toml", "verdict-01.toml", "text-01.txt"] {
            std::fs::write(folder.path().join(name), &bytes).unwrap();
        }
        std::fs::write(folder.path().join("ticket.toml"), "").unwrap();
        if let Ok(ticket) = Ticket::open(folder.path()) {
            let _ = ticket.joined(9);
        }
    }
}
