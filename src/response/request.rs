//! A command taken apart once, for all the lines that may answer it.

use super::prefixes::{Known, known};
use super::{Form, outcome};

/// A command without its `AT` and without blanks around it.
#[derive(Clone, Copy)]
pub(crate) struct Request<'t> {
    text: &'t str,
    means: Means,
}

/// What a command means to those who read its answer.
#[derive(Clone, Copy, Debug)]
struct Means {
    /// The length of its sign and name; 0 where several commands are joined by semicolons.
    name: usize,
    /// The reader of replies that have its own name for a prefix.
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
        Self { name, own, form: form_of(command), acts: outcome::acts(command) }
    }
}

impl<'t> Request<'t> {
    /// Lines that no command asked for.
    pub(crate) const NONE: Self =
        Self { text: "", means: Means { name: 0, own: None, form: Form::Unknown, acts: false } };

    /// Takes a command apart.
    pub(crate) fn of(command: &'t str) -> Self {
        Self { text: command, means: Means::of(command) }
    }

    /// Whether the command's result tells something by itself.
    pub(crate) const fn acts(&self) -> bool {
        self.means.acts
    }

    /// Whether it is an extended command whose responses nothing reads.
    pub(crate) fn is_unknown(&self) -> bool {
        let extended = self.text.starts_with(['+', '^', '%', '#', '!', '$', '*']);
        extended && self.means.own.is_none() && self.means.name > 0 && !self.means.acts
    }

    /// Who reads a reply with this prefix, the form of the request that it answers, and the request
    /// itself.
    pub(crate) fn reader(&self, prefix: &str) -> Option<(&'static Known, Form, &'t str)> {
        match self.means.own {
            Some(own) if self.text[..self.means.name] == *prefix => {
                Some((own, self.means.form, self.text))
            }
            _ => {
                let (form, request) = self.form(prefix);
                Some((known(prefix)?, form, request))
            }
        }
    }

    /// The form of the request that a reply with this prefix answers, and the request itself.
    pub(crate) fn form(&self, prefix: &str) -> (Form, &'t str) {
        if self.means.form == Form::Unknown {
            return (Form::Unknown, "");
        }
        let prefix = unsigned(prefix.as_bytes());
        let asks = |part: &&str| {
            let name = unsigned(part.as_bytes());
            name.get(..prefix.len()).is_some_and(|n| n.eq_ignore_ascii_case(prefix))
                && !name.get(prefix.len()).is_some_and(u8::is_ascii_alphanumeric)
        };
        // Commands joined by semicolons are answered together, each prefix by its own.
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

/// A command or prefix without blanks and signs before its name.
fn unsigned(text: &[u8]) -> &[u8] {
    let mut rest = text;
    while let [b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' | b' ', name @ ..] = rest {
        rest = name;
    }
    rest
}
