//! A command taken apart once, for all the lines that may answer it, and for the next time it is sent.

use super::again::Asked;
use super::heads::{Known, known};
use super::{Form, effect};
use compact_str::CompactString;

/// A command without its `AT` and without blanks around it.
#[derive(Clone, Copy)]
pub(super) struct Request<'t> {
    text: &'t str,
    means: Means,
    /// Its place among those that were met, where it was met before in the same letters.
    asked: Option<Asked>,
}

/// What a command means to those who read its answer.
#[derive(Clone, Copy, Debug)]
struct Means {
    /// The length of its sign and name; 0 where several commands are joined by semicolons.
    name: usize,
    /// The reader of replies that have its own name for a header.
    own: Option<&'static Known>,
    /// The form that it asks for; unknown where no command was seen.
    form: Form,
    /// Whether its result tells something by itself.
    acts: bool,
}

impl Means {
    fn of(command: &str) -> Self {
        let bytes = command.as_bytes();
        let sign = bytes.len() - unsigned(bytes).len();
        let letters = bytes[sign..].iter().take_while(|b| b.is_ascii_alphanumeric()).count();
        let name = if bytes.contains(&b';') { 0 } else { sign + letters };
        let own = command.get(..name).filter(|name| !name.is_empty()).and_then(known);
        Self { name, own, form: form_of(command), acts: effect::acts(command) }
    }
}

impl<'t> Request<'t> {
    /// Lines that no command asked for.
    pub(super) const NONE: Self = Self {
        text: "",
        means: Means { name: 0, own: None, form: Form::Unknown, acts: false },
        asked: None,
    };

    /// The command's place among those that were met, where it was met before in the same letters.
    pub(super) const fn asked(&self) -> Option<Asked> {
        self.asked
    }

    /// Whether the command's result tells something by itself.
    pub(super) const fn acts(&self) -> bool {
        self.means.acts
    }

    /// Who reads a reply with this header, the form of the request that it answers, and the request
    /// itself.
    pub(super) fn reader(&self, head: &str) -> Option<(&'static Known, Form, &'t str)> {
        match self.means.own {
            Some(own) if self.text[..self.means.name] == *head => {
                Some((own, self.means.form, self.text))
            }
            _ => {
                let (form, request) = self.form(head);
                Some((known(head)?, form, request))
            }
        }
    }

    /// The form of the request that a reply with this header answers, and the request itself.
    pub(super) fn form(&self, head: &str) -> (Form, &'t str) {
        if self.means.form == Form::Unknown {
            return (Form::Unknown, "");
        }
        let head = unsigned(head.as_bytes());
        let asks = |part: &&str| {
            let name = unsigned(part.as_bytes());
            name.get(..head.len()).is_some_and(|n| n.eq_ignore_ascii_case(head))
                && !name.get(head.len()).is_some_and(u8::is_ascii_alphanumeric)
        };
        // Commands joined by semicolons are answered together, each header by its own.
        let found = match self.means.name {
            0 => self.text.split(';').find(asks).map(str::trim),
            _ => Some(self.text).filter(asks),
        };
        found.map_or((Form::Unsolicited, ""), |part| (form_of(part), part))
    }
}

fn form_of(command: &str) -> Form {
    if command.as_bytes().ends_with(b"=?") { Form::Test } else { Form::Read }
}

/// A command or header without blanks and signs before its name.
fn unsigned(text: &[u8]) -> &[u8] {
    let mut rest = text;
    while let [b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' | b' ', name @ ..] = rest {
        rest = name;
    }
    rest
}

/// The commands that were seen, each once.
#[derive(Clone, Debug, Default)]
pub struct Requests {
    met: Vec<Met>,
    /// Behind the last that was met: a program that asks again asks in the same order.
    next: usize,
}

#[derive(Clone, Debug)]
struct Met {
    /// In capital letters.
    text: CompactString,
    means: Means,
}

impl Met {
    fn is(&self, command: &str) -> bool {
        self.text.eq_ignore_ascii_case(command)
    }

    /// The command as this one, which stands at this place, sent again; `None` for another one.
    fn again<'t>(&self, command: &'t str, at: usize) -> Option<Request<'t>> {
        let same = self.text == command;
        (same || self.is(command)).then(|| Request {
            text: command,
            means: self.means,
            asked: same.then_some(Asked(at)),
        })
    }
}

impl Requests {
    /// So many are kept.
    const MOST: usize = 256;

    /// Takes a command apart, and keeps it where it is a new one.
    pub(super) fn meet<'t>(&mut self, command: &'t str) -> Request<'t> {
        let expected = self.met.get(self.next).and_then(|met| met.again(command, self.next));
        if let Some(request) = expected {
            self.next += 1;
            return request;
        }
        let mut places = self.met.iter().enumerate();
        if let Some((at, again)) = places.find_map(|(at, m)| Some((at, m.again(command, at)?))) {
            self.next = at + 1;
            return again;
        }
        let means = Means::of(command);
        if self.met.len() < Self::MOST {
            let mut text = CompactString::new(command);
            text.make_ascii_uppercase();
            self.met.push(Met { text, means });
        }
        self.next = 0;
        Request { text: command, means, asked: None }
    }

    /// The commands, without their `AT`, in capital letters.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        self.met.iter().map(|met| met.text.as_str())
    }

    /// Whether a command, without its `AT`, was seen, whatever its case.
    pub fn contains(&self, command: &str) -> bool {
        self.met.iter().any(|met| met.is(command))
    }
}
