//! All profiles that are known: loading them, and finding one by name or by an access point.

use super::known::Known;
use super::load_error::{LoadError, at_place, problem, whole};
use super::profile::Carrier;
use std::collections::HashMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// Where a profile comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file; built-in ones by their name in the project.
    pub file: PathBuf,
    /// The line at which the profile begins, from 1.
    pub line: usize,
}

/// One profile as text, which is read when it is needed.
#[derive(Debug)]
struct Entry {
    place: Place,
    /// The file's text and the part that is this profile.
    file: usize,
    part: Range<usize>,
    /// The profile, once it was read.
    carrier: OnceLock<Carrier>,
}

/// A profile that was read, and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredProfile {
    /// The profile.
    pub carrier: Carrier,
    /// Its file and line.
    pub place: Place,
}

/// The shipped profiles: invented carriers on test networks.
const SHIPPED: [(&str, &str); 4] = [
    (
        "carrier-profiles/ember-mobile.toml",
        include_str!("../../carrier-profiles/ember-mobile.toml"),
    ),
    ("carrier-profiles/lowland-iot.toml", include_str!("../../carrier-profiles/lowland-iot.toml")),
    ("carrier-profiles/riverband.toml", include_str!("../../carrier-profiles/riverband.toml")),
    (
        "carrier-profiles/upland-fixed.toml",
        include_str!("../../carrier-profiles/upland-fixed.toml"),
    ),
];

/// So many first digits of network codes, subscriber and card numbers are indexed.
const INDEXED: usize = 5;

/// Files larger than this are no profiles.
const LARGEST: u64 = 256 * 1024 * 1024;

/// All profiles that are known, later ones before earlier ones of the same name.
#[derive(Debug, Default)]
pub struct ProfileStore {
    texts: Vec<String>,
    entries: Vec<Entry>,
    /// Profiles by the first five digits of every number that they name.
    by_digits: HashMap<[u8; INDEXED], Vec<usize>>,
    /// Profiles with shorter numbers, or with cards that are known by words alone.
    others: Vec<usize>,
    /// The files that could not be read at all.
    unreadable: Vec<LoadError>,
}

impl ProfileStore {
    /// The shipped profiles alone.
    pub fn shipped() -> Self {
        let mut profiles = Self::default();
        for (name, text) in SHIPPED {
            profiles.add(Path::new(name), text.to_owned());
        }
        profiles
    }

    /// The shipped profiles, then those of each directory in turn. Errors of single files do not
    /// keep the others from being used.
    pub fn load(directories: &[PathBuf]) -> (Self, Vec<LoadError>) {
        let mut profiles = Self::shipped();
        let mut errors = Vec::new();
        for directory in directories {
            match files(directory) {
                Ok(found) => {
                    for path in found {
                        match read_file(&path) {
                            Ok(text) => profiles.add(&path, text),
                            Err(error) => errors.push(error),
                        }
                    }
                }
                Err(error) => errors.push(error),
            }
        }
        profiles.unreadable.clone_from(&errors);
        (profiles, errors)
    }

    /// The user's own directory, by the platform's convention; `None` where there is no home.
    pub fn user_directory() -> Option<PathBuf> {
        use etcetera::BaseStrategy;
        etcetera::choose_base_strategy()
            .ok()
            .map(|s| s.config_dir().join("mastside").join("carriers"))
    }

    /// Adds a file's text: one profile, or several under `[[carrier]]`.
    pub fn add(&mut self, path: &Path, text: String) {
        let file = self.texts.len();
        let mut push = |line: usize, part: Range<usize>| {
            let entry = self.entries.len();
            let (numbers, other) = numbers(&text[part.clone()]);
            for digits in numbers {
                self.by_digits.entry(digits).or_default().push(entry);
            }
            if other {
                self.others.push(entry);
            }
            self.entries.push(Entry {
                place: Place { file: path.to_owned(), line },
                file,
                part,
                carrier: OnceLock::new(),
            });
        };
        let heads: Vec<usize> = heads(&text);
        if heads.is_empty() {
            push(1, 0..text.len());
        } else {
            let mut line = 1;
            let mut counted = 0;
            for (n, &head) in heads.iter().enumerate() {
                line += text[counted..head].matches('\n').count();
                counted = head;
                let end = heads.get(n + 1).copied().unwrap_or(text.len());
                push(line, head..end);
            }
        }
        self.texts.push(text);
    }

    /// How many profiles there are, replaced ones included.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Every profile that reads, and the errors of those that do not; of one name the last counts.
    pub fn all(&self) -> (Vec<StoredProfile>, Vec<LoadError>) {
        self.read(self.entries.iter())
    }

    /// The profiles whose text holds one of `words`.
    fn holding(&self, words: &[String]) -> (Vec<StoredProfile>, Vec<LoadError>) {
        let finders: Vec<_> =
            words.iter().map(|w| memchr::memmem::Finder::new(w.as_bytes())).collect();
        let holds = |entry: &Entry| {
            let text = &self.texts[entry.file][entry.part.clone()];
            finders.iter().any(|f| f.find(text.as_bytes()).is_some())
        };
        self.read(self.entries.iter().filter(|e| holds(e)))
    }

    /// The profiles that may fit a card, by the index of first digits, and the errors of those that cannot be read.
    pub(super) fn candidates(&self, known: &Known) -> (Vec<StoredProfile>, Vec<LoadError>) {
        let digits = [&known.imsi, &known.network, &known.iccid];
        let mut found: Vec<usize> = digits
            .into_iter()
            .flatten()
            .filter_map(|d| <[u8; INDEXED]>::try_from(d.as_bytes().get(..INDEXED)?).ok())
            .filter_map(|key| self.by_digits.get(&key))
            .flatten()
            .chain(&self.others)
            .copied()
            .collect();
        found.sort_unstable();
        found.dedup();
        let (read, mut errors) = self.read(found.into_iter().map(|n| &self.entries[n]));
        errors.extend(self.unreadable.iter().cloned());
        (read, errors)
    }

    fn read<'e>(
        &'e self,
        entries: impl Iterator<Item = &'e Entry>,
    ) -> (Vec<StoredProfile>, Vec<LoadError>) {
        let mut found: Vec<StoredProfile> = Vec::new();
        let mut errors = Vec::new();
        let mut by_name: HashMap<String, usize> = HashMap::new();
        for entry in entries {
            match self.parse(entry) {
                Ok(carrier) => {
                    let read = StoredProfile { carrier, place: entry.place.clone() };
                    let same_file = by_name
                        .get(&read.carrier.name.to_lowercase())
                        .is_some_and(|&at| found[at].place.file == read.place.file);
                    match by_name.get(&read.carrier.name.to_lowercase()) {
                        // Within one file the same name may stand for another country.
                        Some(&at) if !same_file => found[at] = read,
                        _ => {
                            by_name.insert(read.carrier.name.to_lowercase(), found.len());
                            found.push(read);
                        }
                    }
                }
                Err(error) => errors.push(error),
            }
        }
        (found, errors)
    }

    fn parse(&self, entry: &Entry) -> Result<Carrier, LoadError> {
        if let Some(read) = entry.carrier.get() {
            return Ok(read.clone());
        }
        let carrier = self.parse_text(entry)?;
        Ok(entry.carrier.get_or_init(|| carrier).clone())
    }

    fn parse_text(&self, entry: &Entry) -> Result<Carrier, LoadError> {
        let file = &self.texts[entry.file];
        let text = &file[entry.part.clone()];
        let body_at = if text.starts_with(HEAD) { HEAD.len() } else { 0 };
        toml::from_str(&text[body_at..]).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            let from = entry.part.start + body_at + span.start;
            let problem = problem(error.message());
            at_place(&entry.place.file, file, from..from + span.len(), problem)
        })
    }

    /// The text of a profile's file, for checks that point into it.
    pub(super) fn text_at(&self, place: &Place) -> Option<&str> {
        let entry = self.entries.iter().find(|e| e.place == *place)?;
        Some(&self.texts[entry.file][entry.part.clone()])
    }

    /// The profile of a name, whatever its case.
    pub fn named(&self, name: &str) -> Option<StoredProfile> {
        let (found, _) = self.all();
        found.into_iter().rev().find(|r| r.carrier.name.eq_ignore_ascii_case(name))
    }

    /// The carriers, other than `own`, that have an access point of this name.
    pub fn owners(&self, name: &str, own: Option<&str>) -> Vec<String> {
        if name.trim().is_empty() {
            return Vec::new();
        }
        let (found, _) = self.holding(&[name.trim().to_owned()]);
        found
            .into_iter()
            .filter(|r| own.is_none_or(|own| own != r.carrier.name))
            .filter(|r| {
                r.carrier.access_points.iter().any(|a| a.name.eq_ignore_ascii_case(name.trim()))
            })
            .map(|r| r.carrier.name)
            .collect()
    }
}

/// The first digits of every quoted number in a profile's text, and whether it names shorter ones or
/// none at all.
fn numbers(text: &str) -> (Vec<[u8; INDEXED]>, bool) {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut short = false;
    for at in memchr::memchr_iter(b'"', bytes) {
        let digits = bytes[at + 1..].iter().take_while(|b| b.is_ascii_digit()).count();
        let whole = bytes.get(at + 1 + digits) == Some(&b'"');
        match <[u8; INDEXED]>::try_from(bytes.get(at + 1..at + 1 + INDEXED).unwrap_or(&[])) {
            Ok(key) if digits >= INDEXED && whole => found.push(key),
            _ => short |= whole && (1..INDEXED).contains(&digits),
        }
    }
    found.sort_unstable();
    found.dedup();
    let other = short || found.is_empty();
    (found, other)
}

const HEAD: &str = "[[carrier]]";

/// Where profiles begin in a file that holds several.
fn heads(text: &str) -> Vec<usize> {
    memchr::memmem::find_iter(text.as_bytes(), HEAD.as_bytes())
        .filter(|&at| at == 0 || text.as_bytes()[at - 1] == b'\n')
        .collect()
}

/// The profile files of a directory and its folders, in order; a link is followed to a file, never
/// to a folder, so that a loop of links ends.
fn files(directory: &Path) -> Result<Vec<PathBuf>, LoadError> {
    const DEEPEST: usize = 8;
    let mut found = Vec::new();
    let mut folders = vec![(directory.to_owned(), 0)];
    while let Some((folder, depth)) = folders.pop() {
        let entries = std::fs::read_dir(&folder)
            .map_err(|e| whole(&folder, format!("cannot be read as a directory: {e}")))?;
        for entry in entries {
            let entry = entry.map_err(|e| whole(&folder, e.to_string()))?;
            let path = entry.path();
            let kind = entry.file_type().map_err(|e| whole(&path, e.to_string()))?;
            if kind.is_dir() && depth < DEEPEST {
                folders.push((path, depth + 1));
            } else if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"))
                && (kind.is_file() || kind.is_symlink() && path.is_file())
            {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

fn read_file(path: &Path) -> Result<String, LoadError> {
    let size = std::fs::metadata(path).map_err(|e| whole(path, e.to_string()))?.len();
    if size > LARGEST {
        return Err(whole(path, format!("{} MB are too much for profiles", size / 1024 / 1024)));
    }
    let bytes = std::fs::read(path).map_err(|e| whole(path, e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| {
        let good =
            String::from_utf8_lossy(&e.as_bytes()[..e.utf8_error().valid_up_to()]).into_owned();
        let at = good.len();
        let mut error = at_place(
            path,
            &good,
            at..at,
            "the file is not UTF-8 from here on; save it as UTF-8".into(),
        );
        error.extract = None;
        error
    })
}

#[cfg(test)]
mod tests;
