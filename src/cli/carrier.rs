//! `mastside carrier`: list, show, check, match, import and begin carrier profiles.

use super::{Exit, input};
use crate::capture::Capture;
use crate::carrier::{Carrier, Known, ProfileStore, import, lint};
use crate::case::Case;
use crate::sanitize::plain;
use clap::{Args, Subcommand};
use std::fmt::Write;
use std::path::PathBuf;

/// Keep and check what carriers want of a card and a modem
///
/// Profiles are TOML files, one carrier a file or several under [[carrier]]: shipped ones, those of
/// your own directory, and those of --profiles. Later ones replace earlier ones of the same name.
#[derive(Args, Debug)]
pub(super) struct CarrierCommand {
    #[command(subcommand)]
    what: What,

    /// A directory with profiles
    #[arg(long, value_name = "DIR", global = true, value_parser = directory)]
    profiles: Vec<PathBuf>,
}

#[derive(Subcommand, Debug)]
enum What {
    /// List every profile and the file that it comes from
    List,
    /// Show one profile as it counts, without credentials
    Show { name: String },
    /// Look for what is wrong in profiles, with file, line and key
    Check,
    /// Rank the profiles that fit a card, each with its reasons
    Match(Match),
    /// Make profiles from the open data set of mobile broadband providers (XML)
    Import(Import),
    /// Begin a new profile, with a remark beside every key
    New {
        /// The carrier's name
        name: String,
    },
    /// Print the JSON Schema of a profile, for editors
    Schema,
}

#[derive(Args, Debug)]
struct Match {
    /// A capture to take the card's numbers from, `-` for standard input
    file: Option<PathBuf>,
    /// Subscriber number
    #[arg(long)]
    imsi: Option<String>,
    /// Card number
    #[arg(long)]
    iccid: Option<String>,
    /// Group identifier level 1, hexadecimal
    #[arg(long)]
    gid1: Option<String>,
    /// Provider name on the card
    #[arg(long)]
    spn: Option<String>,
    /// Network in use
    #[arg(long)]
    network: Option<String>,
}

#[derive(Args, Debug)]
struct Import {
    /// The data set
    #[arg(default_value = "/usr/share/mobile-broadband-provider-info/serviceproviders.xml")]
    file: PathBuf,
    /// Only the providers of a country, by its ISO code
    #[arg(long)]
    country: Option<String>,
    /// Only the providers whose name holds this
    #[arg(long)]
    provider: Option<String>,
    /// Where to write; standard output without it
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// A directory that an option names: one that cannot be read is refused before anything is judged without it.
pub(super) fn directory(name: &str) -> Result<PathBuf, String> {
    match std::fs::read_dir(name) {
        Ok(_) => Ok(PathBuf::from(name)),
        Err(error) => Err(format!("cannot be read as a directory: {error}")),
    }
}

/// The profiles of the shipped set, the user's directory where it exists, and `directories`.
pub(super) fn load(directories: &[PathBuf]) -> (ProfileStore, bool) {
    let own = ProfileStore::user_directory().filter(|d| d.is_dir());
    let all: Vec<PathBuf> = own.into_iter().chain(directories.iter().cloned()).collect();
    let (profiles, errors) = ProfileStore::load(&all);
    for error in &errors {
        eprintln!("mastside: {error}");
    }
    (profiles, errors.is_empty())
}

impl CarrierCommand {
    pub(super) fn run(self) -> Exit {
        if let What::Import(import) = &self.what {
            return import.run();
        }
        if let What::New { name } = &self.what {
            return done(super::print(&template(name)));
        }
        if matches!(self.what, What::Schema) {
            return schema();
        }
        let (profiles, sound) = load(&self.profiles);
        match self.what {
            What::List => list(&profiles),
            What::Show { name } => show(&profiles, &name),
            What::Check => check(&profiles, sound),
            What::Match(wanted) => wanted.run(&profiles),
            What::Import(_) | What::New { .. } | What::Schema => Exit::Done,
        }
    }
}

fn done(printed: std::io::Result<()>) -> Exit {
    if printed.is_ok() { Exit::Done } else { Exit::Unusable }
}

fn list(profiles: &ProfileStore) -> Exit {
    let (found, errors) = profiles.all();
    let mut page = String::new();
    for read in &found {
        let networks = read.carrier.networks.join(" ");
        // Writing to a string cannot fail.
        let _ = writeln!(
            page,
            "{:30} {:20} {}",
            plain(&read.carrier.name),
            networks,
            plain(&read.place.file.display().to_string())
        );
    }
    for error in &errors {
        eprintln!("mastside: {error}");
    }
    done(super::print(&page))
}

fn show(profiles: &ProfileStore, name: &str) -> Exit {
    let Some(read) = profiles.named(name) else {
        eprintln!(
            "mastside: there is no profile `{}`; `mastside carrier list` shows them all",
            plain(name)
        );
        return Exit::Unusable;
    };
    match toml::to_string_pretty(&read.carrier) {
        Ok(text) => done(super::print(&format!(
            "# {}:{}\n{text}",
            plain(&read.place.file.display().to_string()),
            read.place.line
        ))),
        Err(error) => {
            eprintln!("mastside: the profile could not be written: {error}");
            Exit::Unusable
        }
    }
}

fn check(profiles: &ProfileStore, sound: bool) -> Exit {
    let errors = lint::check(profiles);
    for error in &errors {
        eprintln!("{error}\n");
    }
    let page = match errors.len() {
        0 => format!("{} profiles, nothing wrong\n", profiles.len()),
        n => format!("{} profiles, {n} findings\n", profiles.len()),
    };
    match (super::print(&page), errors.is_empty() && sound) {
        (Ok(()), true) => Exit::Done,
        (Ok(()), false) => Exit::Fault,
        (Err(_), _) => Exit::Unusable,
    }
}

impl Match {
    fn run(self, profiles: &ProfileStore) -> Exit {
        let mut known = Known::default();
        if let Some(file) = &self.file {
            match input::texts(std::slice::from_ref(file)) {
                Ok((text, _)) => known = Known::of(&Case::read(&Capture::new(&text))),
                Err(error) => return input::refuse(&error),
            }
        }
        known.imsi = self.imsi.or(known.imsi);
        known.iccid = self.iccid.or(known.iccid);
        known.gid1 = self.gid1.or(known.gid1);
        known.provider_name = self.spn.or(known.provider_name);
        known.network = self.network.or(known.network);
        if known == Known::default() {
            eprintln!(
                "mastside: nothing is known of the card; give --imsi, --iccid, --gid1, --spn or a capture that has them"
            );
            return Exit::Unusable;
        }
        let ranking = profiles.rank(&known);
        let mut page = String::new();
        for (n, fit) in ranking.fits.iter().enumerate() {
            let missing = if fit.unknown.is_empty() {
                String::new()
            } else {
                format!("; it also wants {}", fit.unknown.join(" and "))
            };
            let _ = writeln!(
                page,
                "{}. {}: {}{missing}",
                n + 1,
                plain(&fit.read.carrier.name),
                plain(&fit.reasons.join("; "))
            );
        }
        let exit = match (ranking.fits.is_empty(), ranking.only()) {
            (true, _) => {
                page.push_str("No profile fits this card.\n");
                Exit::Unclear
            }
            (false, Some(_)) => Exit::Done,
            (false, None) => {
                let equal = ranking.best().len();
                let by = ranking.undecided_by();
                let by = if by.is_empty() {
                    "nothing that their profiles name".to_owned()
                } else {
                    by.join(", ")
                };
                let _ = match equal {
                    1 => writeln!(page, "Not sure: what would tell the candidates apart is {by}."),
                    n => writeln!(
                        page,
                        "The first {n} fit equally; what would tell them apart: {by}."
                    ),
                };
                Exit::Unclear
            }
        };
        match super::print(&page) {
            Ok(()) => exit,
            Err(_) => Exit::Unusable,
        }
    }
}

impl Import {
    fn run(&self) -> Exit {
        let (text, _) = match input::texts(std::slice::from_ref(&self.file)) {
            Ok(read) => read,
            Err(error) => {
                eprintln!(
                    "mastside: {error}; Debian carries the data set as mobile-broadband-provider-info"
                );
                return Exit::Unusable;
            }
        };
        let mut found = match import::read(&text) {
            Ok(found) => found,
            Err(error) => {
                eprintln!("mastside: {}: {error}", plain(&self.file.display().to_string()));
                return Exit::Unusable;
            }
        };
        found.retain(|i| {
            self.country.as_ref().is_none_or(|c| i.country.eq_ignore_ascii_case(c))
                && self
                    .provider
                    .as_ref()
                    .is_none_or(|p| i.carrier.name.to_lowercase().contains(&p.to_lowercase()))
        });
        if found.is_empty() {
            eprintln!("mastside: the data set has no such provider");
            return Exit::Fault;
        }
        let written = std::fs::metadata(&self.file).and_then(|m| m.modified());
        let as_of = written.map_or_else(
            |_| chrono::Utc::now().format("%Y-%m-%d").to_string(),
            |t| chrono::DateTime::<chrono::Utc>::from(t).format("%Y-%m-%d").to_string(),
        );
        let page = import::write(
            &found,
            "open data set of mobile broadband providers (public domain)",
            &as_of,
        );
        match &self.out {
            None => done(super::print(&page)),
            Some(path) => match std::fs::write(path, page) {
                Ok(()) => done(super::print(&format!("{} profiles written\n", found.len()))),
                Err(error) => {
                    eprintln!("mastside: {}: {error}", plain(&path.display().to_string()));
                    Exit::Unusable
                }
            },
        }
    }
}

fn template(name: &str) -> String {
    let name = toml::Value::String(name.to_owned());
    format!(
        "# The format is described in carrier-profiles/README.md; `mastside carrier check` reads it.\n\
         name = {name}\n\
         # Network codes of its own, as five or six digits.\n\
         networks = [\"00101\"]\n\
         # When this was known to be true, and who said so.\n\
         # as_of = 2026-03-01\n\
         # source = \"\"\n\
         # Who can change what.\n\
         # contact = \"\"\n\n\
         [cards]\n\
         # First digits of the subscriber numbers; gid1 and provider_name tell virtual carriers apart.\n\
         imsi = [\"00101\"]\n\
         # gid1 = []\n\
         # provider_name = []\n\n\
         [[access_point]]\n\
         name = \"gauge.example\"\n\
         purpose = [\"attach\", \"internet\"]\n\
         # IP, IPV6, IPV4V6 or Non-IP\n\
         address = \"IPV4V6\"\n\
         # none, pap or chap; credentials are named by where they are kept, never written here\n\
         authentication = \"none\"\n\n\
         [bands]\n\
         lte = []\n\n\
         [roaming]\n\
         allowed = false\n"
    )
}

fn schema() -> Exit {
    match serde_json::to_string_pretty(&schemars::schema_for!(Carrier)) {
        Ok(text) => done(super::print(&format!("{text}\n"))),
        Err(error) => {
            eprintln!("mastside: the schema could not be written: {error}");
            Exit::Unusable
        }
    }
}
