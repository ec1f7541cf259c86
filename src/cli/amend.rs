//! `mastside amend`: one named change, shown first, with an undo.

use super::{Exit, ask, live, refuse, undo};
use crate::at::Client;
use crate::live::{Amendment, Change, EntryState, Journal, Login, Refusal, SameModem};
use crate::sanitize::plain;
use clap::{Args, Subcommand};
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::time::Duration;

/// Make one change at the modem, shown first, with an undo
///
/// Shows what is set, what will be, what it risks and the way back, asks, writes an undo file, makes
/// the change, reads it back, and proves its effect by waiting for registration and address. Every
/// change stands in a journal of this computer, from which it can be undone weeks later.
///
/// Exit status: 0 done, read back as it was asked, and online; 1 done, but not online, or a part of it
/// written and not proved, because the modem gives no read-back of it (a password); 2 not done, or not
/// as it should be. With --undo: 0 put back and read back, 1 the same but for what no command can put
/// back (a former password), 2 not put back.
#[derive(Args, Debug)]
pub(super) struct Amend {
    #[command(subcommand)]
    what: Option<What>,

    #[command(flatten)]
    pub line: live::LineArguments,

    /// Put back what an undo file names, at the modem that it was made for
    #[arg(long, value_name = "FILE")]
    pub undo: Option<PathBuf>,

    /// List every change that was made from this computer, with its undo file
    #[arg(long, conflicts_with = "undo")]
    journal: bool,

    /// With --undo: go on although the modem or its card is another one, or cannot be told
    #[arg(long, requires = "undo")]
    pub other_modem: bool,

    /// With --undo: go on although the settings have changed since
    #[arg(long, requires = "undo")]
    pub moved_on: bool,

    /// Show what would be done, and do nothing
    #[arg(long, global = true)]
    pub dry_run: bool,

    /// Do not ask; needed where there is no terminal
    #[arg(long, global = true)]
    pub yes: bool,

    /// Where to save the dialogue
    #[arg(long, value_name = "FILE", global = true)]
    pub record: Option<PathBuf>,

    /// How many seconds to wait for registration and address
    #[arg(long, value_name = "SECONDS", default_value_t = 90, global = true)]
    wait: u64,
}

#[derive(Subcommand, Debug)]
enum What {
    /// Set access point name and address type of the attach context, and attach anew
    AccessPoint {
        /// The name, letter by letter as the carrier gives it
        name: String,
        /// IP, IPV6 or IPV4V6; as it is where it is left away
        #[arg(long)]
        address: Option<String>,
        /// The context number
        #[arg(long, default_value_t = 1)]
        context: u8,
        /// The user name, where the carrier asks for one; the password is asked for without showing it
        #[arg(long, value_name = "NAME")]
        user: Option<String>,
        /// How the password is sent
        #[arg(long, value_enum, default_value_t, requires = "user")]
        by: Protocol,
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Switch the radio on
    Radio {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Choose the network automatically
    Network {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Empty the card's list of forbidden networks
    Forbidden {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Free the choice of radio technology, where the modem's own command is known
    Technology {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Switch an LTE band on, where the modem's own command is known; stays over a power cycle
    Band {
        /// The band number
        number: u16,
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Put data first, not voice
    Usage {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Enter the SIM's PIN once; asked for without showing it, never stored, never the last try
    Pin {
        #[command(flatten)]
        line: live::LineArguments,
    },
}

/// How a password is sent (TS 27.007 §10.1.31).
#[derive(Clone, Copy, Debug, Default, clap::ValueEnum)]
enum Protocol {
    /// In clear
    #[default]
    Pap,
    /// As an answer to a challenge
    Chap,
}

impl Amend {
    pub(super) fn run(mut self) -> Exit {
        let what = self.what.take();
        match (what, self.undo.clone()) {
            (None, None) if self.journal => undo::journal(),
            (None, Some(file)) => undo::put_back(&self, &file),
            (Some(what), None) => self.make(what),
            (Some(_), Some(_)) => refuse("name a change or an undo file, not both"),
            (None, None) => {
                refuse("name a change, as in `mastside amend radio`; --help lists them")
            }
        }
    }

    fn make(&self, what: What) -> Exit {
        let (change, line) = match what.change() {
            Ok(change) => change,
            Err(error) => return refuse(&error.to_string()),
        };
        let mut visit = match live::Visit::begin(&line, self.record.as_ref(), "amend") {
            Ok(visit) => visit,
            Err(exit) => return exit,
        };
        let undo_path = visit.path.with_extension("undo.toml");
        let journal = visit.journal.clone();
        let mut client = visit.client();
        let exit = match client.wake(line.may_search()) {
            Ok(true) => {
                let plan = self.plan(&change, &line, &mut client, &journal);
                match plan {
                    Ok((amendment, modem)) => {
                        self.change(&amendment, modem, &undo_path, &mut client, &journal)
                    }
                    Err(exit) => exit,
                }
            }
            Ok(false) => refuse("nothing answers on this line; `mastside ports` says why"),
            Err(error) => refuse(&error.to_string()),
        };
        live::told_left(&client.restore());
        exit
    }

    /// Reads, shows and asks; nothing is written.
    fn plan(
        &self,
        change: &Change,
        line: &live::LineArguments,
        client: &mut Client<'_>,
        journal: &Journal,
    ) -> Result<(Amendment, SameModem), Exit> {
        let refused = |error: Refusal| refuse(&error.to_string());
        let modem = journal
            .key()
            .map_err(Refusal::Journal)
            .and_then(|key| SameModem::read(client, key))
            .map_err(refused)?;
        let amendment = match change.plan(client) {
            Ok(amendment) => amendment,
            Err(Refusal::Already(what)) => {
                eprintln!("It is so already: {what}. Nothing was changed.");
                return Err(Exit::Done);
            }
            Err(error) => return Err(refused(error)),
        };
        show(&amendment, &modem);
        if self.dry_run {
            eprintln!("Nothing was changed (--dry-run).");
            return Err(Exit::Done);
        }
        if amendment.drops_link {
            line.may_drop()?;
        }
        if self.agreed("Make this change?") { Ok((amendment, modem)) } else { Err(Exit::Unusable) }
    }

    /// Writes the undo file, makes the change and proves it.
    fn change(
        &self,
        amendment: &Amendment,
        mut modem: SameModem,
        undo_path: &std::path::Path,
        client: &mut Client<'_>,
        journal: &Journal,
    ) -> Exit {
        let made = chrono::Local::now().to_rfc3339();
        let undo = amendment.undo_file(made, modem.identity().clone());
        let words = format!("{} became {}", amendment.now, amendment.then);
        if let Some(undo) = &undo {
            let written =
                toml::to_string_pretty(undo).map_err(|e| e.to_string()).and_then(|text| {
                    let file = crate::private_file::create(undo_path);
                    let write = |mut f: std::fs::File| {
                        f.write_all(text.as_bytes()).and_then(|()| f.sync_data())
                    };
                    file.and_then(write).map_err(|e| e.to_string())
                });
            if let Err(error) = written {
                return refuse(&format!(
                    "the undo file could not be written ({error}); nothing was changed"
                ));
            }
            eprintln!("The undo file is {}.", plain(&undo_path.display().to_string()));
        }
        let identity = modem.identity().clone();
        if let Err(error) = journal.note(&identity, &words, EntryState::Begun, undo.as_ref()) {
            return refuse(&format!(
                "the journal could not be written ({error}); nothing was changed"
            ));
        }
        let applied = amendment.apply(client, journal, &mut modem);
        let state = if applied.is_ok() { EntryState::Made } else { EntryState::Failed };
        if let Err(error) = journal.note(&identity, &words, state, None) {
            live::say(&format!("mastside: the journal could not be written: {error}"));
        }
        if let Err(error) = &applied {
            if matches!(error, Refusal::Refused(..) | Refusal::NotTaken { .. })
                && !amendment.altered.is_empty()
                && amendment.is_untouched(client)
            {
                return refuse(&format!("{error}; nothing was changed: it reads as before"));
            }
            let way = undo.map_or_else(String::new, |_| {
                format!(
                    "; to be sure, put everything back: mastside amend --undo {}",
                    undo_path.display()
                )
            });
            return refuse(&format!("{error}{way}"));
        }
        let not_proved = applied.unwrap_or_default().not_proved;
        if not_proved.is_empty() {
            eprintln!("Made and read back.");
        } else {
            let what = plain(&not_proved.join(", ")).into_owned();
            tell("", &format!("Written, not proved: this modem gives no read-back of {what}."));
        }
        match self.prove(client) {
            Exit::Done if !not_proved.is_empty() => Exit::Fault,
            exit => exit,
        }
    }

    /// Waits for the effect and says what came of it.
    fn prove(&self, client: &mut Client<'_>) -> Exit {
        match client.wait_for_address(Duration::from_secs(self.wait)) {
            Ok(true) => {
                eprintln!("Done: the modem is registered and has an address.");
                Exit::Done
            }
            Ok(false) => {
                eprintln!(
                    "The change is made; the modem is not registered with an address yet. `mastside examine` says why."
                );
                Exit::Fault
            }
            Err(error) => {
                eprintln!("The change is made; whether the modem is online was not seen: {error}.");
                Exit::Fault
            }
        }
    }

    /// Whether the user agrees.
    pub(super) fn agreed(&self, question: &str) -> bool {
        if self.yes {
            return true;
        }
        if !std::io::stdin().is_terminal() {
            eprintln!(
                "mastside: there is no terminal to ask at; --yes makes the change without asking"
            );
            return false;
        }
        let agreed = match ask::line(&format!("{question} Type yes: ")) {
            Ok(answer) => answer.eq_ignore_ascii_case("yes"),
            Err(error) => {
                live::say(&format!("\nmastside: {error}"));
                return false;
            }
        };
        if !agreed {
            eprintln!("Nothing was changed.");
        }
        agreed
    }
}

impl What {
    /// The change, and the line that was named with it.
    fn change(self) -> std::io::Result<(Change, live::LineArguments)> {
        Ok(match self {
            Self::AccessPoint { name, address, context, user, by, line } => {
                let login = user.map(|user| Ok((user, ask::secret("Password: ")?)));
                let login: std::io::Result<Option<_>> = login.transpose();
                let login = login?.map(|(user, password)| Login {
                    protocol: if matches!(by, Protocol::Pap) { 1 } else { 2 },
                    user,
                    password,
                });
                let address = address.map(|a| a.to_uppercase());
                (Change::AccessPoint { context, name, address, login }, line)
            }
            Self::Technology { line } => (Change::Technology, line),
            Self::Band { number, line } => (Change::Band(number), line),
            Self::Radio { line } => (Change::Radio, line),
            Self::Network { line } => (Change::Network, line),
            Self::Forbidden { line } => (Change::Forbidden, line),
            Self::Usage { line } => (Change::Usage, line),
            Self::Pin { line } => (Change::Pin(ask::secret("PIN: ")?), line),
        })
    }
}

/// Shows what would be done, in order.
fn show(amendment: &Amendment, modem: &SameModem) {
    if let Some(model) = &modem.identity().model {
        tell("Modem: ", &plain(model));
    }
    tell("Now:   ", &plain(&amendment.now));
    tell("Then:  ", &plain(&amendment.then));
    tell("Why:   ", amendment.why);
    tell("Sends: ", &plain(&amendment.shown().join(", then ")));
    tell("Link:  ", amendment.risk);
    let undo = amendment.undo();
    let undo = if undo.is_empty() {
        let words = if amendment.altered.is_empty() {
            "none is needed: the next start asks for the PIN again"
        } else {
            "not possible: what was there before cannot be written back"
        };
        words.to_owned()
    } else {
        format!("mastside amend --undo FILE sends {}", undo.join(", then "))
    };
    tell("Undo:  ", &plain(&undo));
    if amendment.drops_link {
        tell("", "The antenna may radiate: keep the distance that local codes ask for.");
    }
}

/// Writes one thing, wrapped beside its label.
pub(super) fn tell(label: &str, words: &str) {
    let indent = " ".repeat(label.len());
    let options =
        textwrap::Options::new(super::width()).initial_indent(label).subsequent_indent(&indent);
    for line in textwrap::wrap(words, options) {
        eprintln!("{line}");
    }
}
