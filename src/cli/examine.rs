//! `mastside examine`: a live modem asked, recorded and explained.

use super::format::Format;
use super::{Exit, follow, live};
use crate::at::Client;
use crate::explanation::{Basis, Explanation, View};
use crate::live::{Examination, Further, Journal, examine_further, silence};
use crate::rules::Layer;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// A fresh attach may take so long: a first search takes up to two minutes (common practice, no source).
const ATTACHES_WITHIN: Duration = Duration::from_mins(2);

/// The search for networks, which `--search` makes.
const SEARCH: &str = "AT+COPS=?";

/// Ask a live modem everything that matters, changing nothing that lasts, and explain
///
/// The dialogue is saved as a text that `mastside explain` reads to the same verdict. Settings that
/// a read needs are put back. The search for networks and a fresh attach are made only when they
/// are asked for by name, because the link drops meanwhile.
///
/// Without a port the one modem that answers is asked; of several a list is shown to choose from.
///
/// Exit status: 0 connected, 1 a fault was found, 2 unusable arguments or line, or several modems to
/// choose from, 3 not enough to tell, or the modem was lost on the way.
#[derive(clap::Args, Debug)]
pub(super) struct Examine {
    #[command(flatten)]
    line: live::LineArguments,

    /// Where to save the dialogue; a new file of this moment's name without it
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,

    /// Keep listening for this many seconds for what the network says
    #[arg(long, value_name = "SECONDS")]
    watch_for: Option<u64>,

    /// First follow the modem from switching on, until it is connected or refused, or for so many
    /// seconds; waits for its port, its start and its card
    #[arg(
        long, value_name = "SECONDS", num_args = 0..=1, require_equals = true, default_missing_value = "300",
        conflicts_with_all = ["watch_for", "reattach"]
    )]
    follow: Option<u64>,

    /// Search for networks too; takes minutes, and the link drops
    #[arg(long)]
    search: bool,

    /// Make a fresh attach, so that the network states its reason; the link drops
    #[arg(long)]
    reattach: bool,

    /// How to print the explanation; notes on the run go to standard error in other formats than text
    #[arg(long, value_enum, default_value_t)]
    format: Format,

    /// Show every judgement
    #[arg(long)]
    all: bool,

    /// A directory with carrier profiles
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
    profiles: Vec<PathBuf>,

    /// A file with your team's own notes, steps and contacts
    #[arg(long, value_name = "FILE")]
    team: Option<PathBuf>,

    #[command(flatten)]
    ticket: super::ticket::TicketArguments,

    /// Print subscriber and equipment identities in full
    #[arg(long, conflicts_with = "ticket")]
    unmask: bool,
}

impl Examine {
    pub(super) fn run(self) -> Exit {
        if (self.search || self.reattach)
            && let Err(exit) = self.line.may_drop()
        {
            return exit;
        }
        let team = match super::team(self.team.as_deref()) {
            Ok(team) => team,
            Err(exit) => return exit,
        };
        if let Err(exit) = self.ticket.check() {
            return exit;
        }
        let begun = Instant::now();
        if let Some(most) = self.follow {
            self.line.wait_for_port(Duration::from_secs(most));
        }
        let mut visit = match live::Visit::begin(&self.line, self.record.as_ref(), "examine") {
            Ok(visit) => visit,
            Err(exit) => return exit,
        };
        let (path, further) = (visit.path.clone(), self.further(&visit.journal));
        let named = crate::sanitize::plain(&visit.named).into_owned();
        let (profiles, _) = super::carrier::load(&self.profiles);
        let mut client =
            if self.follow.is_some() { visit.client_telling(follow::told) } else { visit.client() };
        if let Some(most) = self.follow {
            run_follow(&mut client, begun, Duration::from_secs(most));
        }
        let mut shown = live::Shown::new();
        let run = examine_further(&mut client, &profiles, &further, &mut shown);
        let trouble = run.ended.as_ref().map(ToString::to_string);
        shown.clear();
        let recorded = client.recorded().to_owned();
        let shown_path = crate::sanitize::plain(&path.display().to_string()).into_owned();
        if let Some(trouble) = &trouble {
            eprintln!("mastside: {trouble}; what was read so far is in {shown_path}");
        }
        live::told_left(&run.not_restored);
        let (mut ticket, text, parts) = match self.ticket.opened(&recorded, &[]) {
            Ok(None) => (None, recorded.clone(), Vec::new()),
            Ok(Some((ticket, text, parts))) => (Some(ticket), text, parts),
            Err(exit) => return exit,
        };
        let carrier = ticket.as_ref().and_then(|t| t.carrier(&profiles)).map(str::to_owned);
        let basis =
            Basis { team: Some(&team), carrier: carrier.as_deref(), ..Basis::of(&profiles) };
        let view = View { all: self.all, unmask: self.unmask, width: super::width() };
        let mut explanation = match Explanation::of(&text, parts.clone(), &basis, view) {
            Ok(explanation) => explanation,
            Err(error) => return super::refuse(&error.to_string()),
        };
        if let Some(ticket) = &mut ticket
            && let Err(exit) = super::ticket::keep(ticket, &mut explanation, &text, &parts, &basis)
        {
            return exit;
        }
        let notes = notes(&explanation, &shown_path, &named, &recorded, &run);
        // A page on a modem on the line asks for nothing that was just asked.
        explanation.leave_out(|command| {
            !run.answered
                || command == SEARCH
                || recorded.lines().any(|l| l.ends_with(&format!("] > {command}")))
        });
        let mut page = String::new();
        if self.format.write(&explanation, &mut page).is_err() {
            return Exit::Unusable;
        }
        if self.format == Format::Text {
            page.push_str(&notes);
        } else {
            eprint!("{notes}");
        }
        if super::print(&page).is_err() {
            return Exit::Unusable;
        }
        Exit::of(explanation.verdict())
    }

    /// What is done only when it is asked for by name.
    fn further(&self, journal: &Journal) -> Further {
        let watch_for = self.watch_for.map(Duration::from_secs);
        let reattach = self.reattach.then(|| watch_for.unwrap_or(ATTACHES_WITHIN));
        if self.reattach {
            eprintln!("A fresh attach comes last: the link drops for a while.");
        }
        if self.search {
            eprintln!("The search for networks comes last and takes minutes; Ctrl-C stops it.");
        }
        Further {
            search_speed: self.line.may_search(),
            reattach,
            watch_for: watch_for.filter(|_| !self.reattach),
            search: self.search,
            journal: journal.clone(),
        }
    }
}

/// Follows the modem; what ends it early ends the run behind it, too, and is said there.
fn run_follow(client: &mut Client<'_>, begun: Instant, most: Duration) {
    let mut shown = follow::Shown::new();
    let end = crate::live::follow(client, begun, most, &mut shown);
    follow::erase();
    if let Ok(end) = end {
        live::say(&shown.end_words(end, begun.elapsed()));
    }
}

/// What a live run adds to the page: where the dialogue is, and the change that mends the cause.
fn notes(
    explanation: &Explanation<'_>,
    recording: &str,
    line: &str,
    recorded: &str,
    run: &Examination,
) -> String {
    let mut notes = format!("The dialogue is in {recording}; it contains identities in full.\n");
    let mut note = |words: &str| {
        for line in textwrap::wrap(words, explanation.view.width) {
            notes.push_str(&format!("{line}\n"));
        }
    };
    if !run.answered {
        note(&explanation.source.word(&silence(recorded)));
        note("Which ports answer: mastside ports");
    }
    if !run.answered || run.ended.is_some() {
        note(&format!("To ask again, once that is done: mastside examine {line}"));
    }
    if let Some(change) = explanation.verdict().root().and_then(|j| j.rule.amendment) {
        notes.push_str(&format!(
            "To mend it, with an undo, shown first: mastside amend {change} {line}\n"
        ));
    }
    notes.push_str(&next_runs(explanation, line));
    // A small screen has scrolled past the first line by now.
    let short = format!("In short: {}", explanation.source.word(&explanation.verdict().summary));
    for line in textwrap::wrap(&short, explanation.view.width) {
        notes.push_str(&format!("{line}\n"));
    }
    notes
}

/// The runs of this command that would say more, with their line: each drops the link, so that none
/// is made unless it is named.
fn next_runs(explanation: &Explanation<'_>, line: &str) -> String {
    let verdict = explanation.verdict();
    let mut runs = String::new();
    if verdict.ask_next.iter().any(|ask| ask.commands.contains(&SEARCH)) {
        runs.push_str(&format!(
            "To see which networks are heard (minutes, the link drops): mastside examine --search {line}\n"
        ));
    }
    if verdict.root().is_some_and(|j| j.rule.layer() == Layer::Registration) {
        runs.push_str(&format!(
            "To hear the network's reason anew (the link drops): mastside examine --reattach {line}\n"
        ));
    }
    runs
}
