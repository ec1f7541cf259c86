//! What the dialogue itself shows, beside the facts: answers, silence, commands sent, what was not understood.

use crate::span::Span;
use schemars::JsonSchema;
use serde::Serialize;

/// A part of the text that has the shape of dialogue and was not understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Where it stands.
    pub span: Span,
    /// Why it was not understood.
    pub why: Why,
    /// The command that it answers, as sent.
    pub request: Option<String>,
    /// The number of an error that no table has.
    pub error: Option<u16>,
}

/// Why a part of the text was not understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// No response of this command is known.
    UnknownCommand,
    /// The command is known, this form of its response is not.
    UnknownForm,
    /// The line is known, its words or its number have no known meaning.
    UnknownWords,
}

impl Why {
    /// The reason in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnknownCommand => "no response of this command is known",
            Self::UnknownForm => "this form of the response is not known",
            Self::UnknownWords => "these words have no known meaning",
        }
    }
}

/// What was seen of the dialogue.
#[derive(Debug, Default, Clone)]
pub struct Dialogue {
    /// Commands without any response, in a row at the end of the text.
    pub unanswered: usize,
    /// Where the last of them stands.
    pub unanswered_at: Option<Span>,
    /// Responses of any kind.
    pub answered: usize,
    /// Where the first of them stands.
    pub answered_at: Option<Span>,
    /// Where the last of them ended.
    pub last_answer: Option<Span>,
    /// What has the shape of dialogue and was not understood, in order; at most [`Self::MOST_UNREAD`].
    pub unread: Vec<Unread>,
    /// How many further ones there were.
    pub unread_more: usize,
    /// The mark of a start between a command that orders none and its result, in a dialogue that was under way.
    pub started_inside: Option<Span>,
    /// Settings that read back with another value, in order.
    pub not_kept: Vec<NotKept>,
    /// Prefixes of vendors' own responses that were understood, in the order in which they came.
    pub vendor_prefixes: Vec<String>,
    /// The card file that stands selected in a dialogue over `+CSIM`.
    pub selected: Option<u16>,
    /// Commands that were sent, each once.
    commands: Vec<Sent>,
    /// So many commands were sent, the same one counted each time.
    count: usize,
    /// The values that were set and accepted, by what they set.
    set: Vec<(String, String)>,
    /// Prefixes of responses that came without their command, each once.
    unasked: Vec<String>,
}

/// A setting that was accepted and read back with another value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotKept {
    /// What is set: `+COPS`, `+QCFG="nwscanmode"`.
    pub setting: String,
    /// The value that was accepted.
    pub set: String,
    /// The value that was read later.
    pub read: String,
    /// The response that shows it.
    pub span: Span,
}

/// How the last sending of a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ended {
    /// With a result that is no error.
    Well,
    /// With lines, and without a result.
    Unfinished,
    /// With an error.
    Badly,
    /// Without a response.
    Silent,
}

/// A command that was sent.
#[derive(Clone, Debug)]
struct Sent {
    /// Without `AT`, in capital letters.
    command: String,
    /// Its last sending among those of all commands.
    place: usize,
    /// How that ended.
    ended: Ended,
}

impl Sent {
    /// The command without its arguments.
    fn name(&self) -> &str {
        name(&self.command)
    }
}

/// A command without its arguments.
fn name(command: &str) -> &str {
    command.split(['?', '=']).next().unwrap_or(command)
}

impl Dialogue {
    /// So many different commands are kept.
    const MOST_COMMANDS: usize = 256;

    /// So many parts that were not understood are kept.
    pub const MOST_UNREAD: usize = 200;

    /// Notes a part of the text that was not understood.
    pub(crate) fn not_understood(&mut self, unread: Unread) {
        if self.unread.len() < Self::MOST_UNREAD {
            self.unread.push(unread);
        } else {
            self.unread_more += 1;
        }
    }

    /// Notes a command without its `AT`, and how it ended.
    pub(crate) fn sent(&mut self, command: &str, ended: Ended) {
        self.count += 1;
        let place = self.count;
        let known = self.commands.iter_mut().find(|s| s.command.eq_ignore_ascii_case(command));
        if let Some(sent) = known {
            (sent.place, sent.ended) = (place, ended);
        } else if self.commands.len() < Self::MOST_COMMANDS {
            self.commands.push(Sent { command: command.to_ascii_uppercase(), place, ended });
        }
    }

    /// Notes a value that was set and accepted.
    pub(crate) fn was_set(&mut self, command: &str) {
        let Some((setting, value)) = setting(command) else { return };
        self.set.retain(|(known, _)| *known != setting);
        if self.set.len() < Self::MOST_COMMANDS {
            self.set.push((setting, value));
        }
    }

    /// Compares a response to a read with what was set.
    pub(crate) fn was_read(&mut self, command: &str, body: &str, span: Span) {
        let read =
            format!("{}={body}", command.trim_end_matches('?').split('=').next().unwrap_or(""));
        let Some((setting, value)) = setting(&read) else { return };
        let Some((_, set)) = self.set.iter().find(|(known, _)| *known == setting) else { return };
        let differs = !same_value(set, &value);
        self.not_kept.retain(|n| n.setting != setting);
        if differs {
            let set = set.clone();
            self.not_kept.push(NotKept { setting, set, read: value, span });
        }
    }

    /// Notes a response that was understood without a command before it.
    pub(crate) fn came_unasked(&mut self, prefix: &str) {
        let known = self.unasked.iter().any(|p| p.eq_ignore_ascii_case(prefix));
        if !known && self.unasked.len() < Self::MOST_COMMANDS {
            self.unasked.push(prefix.to_ascii_uppercase());
        }
    }

    /// The commands, without their `AT`, in capital letters.
    pub fn commands(&self) -> impl Iterator<Item = &str> {
        self.commands.iter().map(|s| s.command.as_str())
    }

    /// Whether a command, without its `AT`, was sent, whatever its case.
    pub fn has_sent(&self, command: &str) -> bool {
        self.find(command).is_some()
    }

    fn find(&self, command: &str) -> Option<&Sent> {
        self.commands.iter().find(|s| s.command.eq_ignore_ascii_case(command))
    }

    /// The last command that was set with this name (`+CFUN`), and whether it ended well.
    pub(crate) fn last_set(&self, name: &str) -> Option<(&str, bool)> {
        let sets = self.commands.iter().filter(|s| {
            s.name().eq_ignore_ascii_case(name)
                && s.command.contains('=')
                && !s.command.ends_with("=?")
                && matches!(s.ended, Ended::Well | Ended::Badly)
        });
        sets.max_by_key(|s| s.place).map(|s| (s.command.as_str(), s.ended == Ended::Well))
    }

    /// Whether the text shows the response to a read, without its `AT`, and nothing since that makes it worthless.
    pub(crate) fn shows(&self, read: &str) -> bool {
        let name = name(read);
        let plain = read.len() <= name.len() + 1 && !read.ends_with('=');
        // A registration code comes by itself with the state alone.
        let unasked = plain
            && !name.ends_with("REG")
            && self.unasked.iter().any(|p| p.eq_ignore_ascii_case(name));
        let answered =
            self.find(read).filter(|s| s.ended != Ended::Silent && !self.was_cut(s, read));
        let set = self.last_sent_well(name);
        match name {
            // An accepted code changes the state and does not tell it.
            "+CPIN" => answered.is_some_and(|s| set.is_none_or(|set| s.place > set)) || unasked,
            "+CFUN" | "+COPS" | "+CGATT" | "+CGDCONT" | "+WS46" | "+CEMODE" if plain => {
                answered.is_some() || set.is_some() || unasked
            }
            _ => answered.is_some() || unasked,
        }
    }

    /// Whether the response to a read broke off in a form that nothing could be taken of.
    fn was_cut(&self, sent: &Sent, read: &str) -> bool {
        let of_read = |unread: &Unread| {
            let request = unread.request.as_deref().and_then(|r| r.strip_prefix("AT"));
            request.is_some_and(|r| r.eq_ignore_ascii_case(read))
        };
        sent.ended == Ended::Unfinished && self.unread.iter().any(of_read)
    }

    /// The place of the last setting of this name that ended well.
    fn last_sent_well(&self, name: &str) -> Option<usize> {
        let sets = self.commands.iter().filter(|s| {
            s.ended == Ended::Well
                && s.name().eq_ignore_ascii_case(name)
                && s.command.contains('=')
                && !s.command.ends_with("=?")
        });
        sets.map(|s| s.place).max()
    }
}

/// Settings that bear on the network and read back in the form in which they are set, by their names.
const READ_BACK: [&str; 13] = [
    "+COPS",
    "+CFUN",
    "+CGATT",
    "+CEMODE",
    "+WS46",
    "+CNMP",
    "+CMNB",
    "+QCFG",
    "+CPSMS",
    "+URAT",
    "!SELRAT",
    "+NBAND",
    "%XSYSTEMMODE",
];

/// What a command or a response sets, and its first value; `None` for settings that are not compared.
fn setting(command: &str) -> Option<(String, String)> {
    let (name, arguments) = command.split_once('=')?;
    let name = name.trim().to_ascii_uppercase();
    if arguments.starts_with('?') || !READ_BACK.contains(&name.as_str()) {
        return None;
    }
    let mut fields = arguments.split(',').map(|f| f.trim().trim_matches('"'));
    let first = fields.next()?;
    if name != "+QCFG" {
        // Format of names (mode 3 of TS 27.007 §7.3) is no choice of a network.
        let is_format = name == "+COPS" && first == "3";
        return (!is_format && !first.is_empty()).then(|| (name, first.to_owned()));
    }
    let value = fields.next().filter(|v| !v.is_empty())?;
    Some((format!("{name}=\"{}\"", first.to_ascii_lowercase()), value.to_owned()))
}

/// Whether two values are the same, as numbers or as words.
fn same_value(a: &str, b: &str) -> bool {
    match (a.parse::<u64>(), b.parse::<u64>()) {
        (Ok(a), Ok(b)) => a == b,
        _ => a.eq_ignore_ascii_case(b),
    }
}
