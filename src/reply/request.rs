//! A command taken apart once, for all the lines that may answer it.

use super::Form;

/// What a command asks for: one request, or several joined by semicolons.
pub(super) struct Request<'t> {
    text: &'t str,
    /// The text without the sign before its name.
    bare: &'t [u8],
    joined: bool,
}

impl<'t> Request<'t> {
    /// Takes a command, without its `AT` and without blanks around it, apart.
    pub(super) fn of(text: &'t str) -> Self {
        let bare = unsigned(text.as_bytes());
        Self { text, bare, joined: text.as_bytes().contains(&b';') }
    }

    /// The form of the request that a reply with this header answers, and the request itself.
    pub(super) fn form(&self, head: &str) -> (Form, &'t str) {
        let head = unsigned(head.as_bytes());
        let asks = |name: &[u8]| {
            name.get(..head.len()).is_some_and(|n| n == head || n.eq_ignore_ascii_case(head))
                && !name.get(head.len()).is_some_and(u8::is_ascii_alphanumeric)
        };
        // Commands joined by semicolons are answered together, each header by its own.
        let found = if self.joined {
            self.text.split(';').find(|part| asks(unsigned(part.as_bytes()))).map(str::trim)
        } else {
            Some(self.text).filter(|_| asks(self.bare))
        };
        match found {
            Some(part) if part.as_bytes().ends_with(b"=?") => (Form::Test, part),
            Some(part) => (Form::Read, part),
            None => (Form::Unsolicited, ""),
        }
    }
}

/// A command or header without blanks and signs before its name.
fn unsigned(text: &[u8]) -> &[u8] {
    let mut rest = text;
    while let [b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' | b' ', name @ ..] = rest {
        rest = name;
    }
    rest
}

/// Commands that open a data session, from 27.007 and makers' own; common practice, no source.
const OPENING: &[&str] = &[
    "+CGACT=1",
    "+CIICR",
    "+SAPBR=1",
    "+QIACT",
    "+CNACT=",
    "+CGDATA",
    "#SGACT=",
    "+XACTIVATE",
    "$QCRMCALL=1",
    "^NDISDUP=1,1",
    "+NETOPEN",
];

/// The first two letters of each, which tell nearly every other command apart.
const LETTERS: [[u8; 2]; OPENING.len()] = {
    let mut letters = [[0; 2]; OPENING.len()];
    let mut at = 0;
    while at < OPENING.len() {
        let name = OPENING[at].as_bytes();
        letters[at] = [name[1], name[2]];
        at += 1;
    }
    letters
};

/// Whether a command opens a data session.
pub(super) fn opens_session(command: &str) -> bool {
    // A read opens none.
    let [_, first, second, .., last] = command.as_bytes() else { return false };
    let letters = [first.to_ascii_uppercase(), second.to_ascii_uppercase()];
    if *last == b'?' || !LETTERS.contains(&letters) {
        return false;
    }
    let starts =
        |name: &&str| command.get(..name.len()).is_some_and(|c| c.eq_ignore_ascii_case(name));
    OPENING.iter().any(starts)
}
