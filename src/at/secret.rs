//! Secrets that were sent, and what a recording may hold of the lines around them.

use super::response::result;
use crate::response::fields;

/// The secrets of one dialogue. Nothing of them is ever written down, whatever the line makes of
/// an echo.
#[derive(Default)]
pub(super) struct Secrets {
    known: Vec<String>,
    /// Whether a command with a secret has no result yet: its echo may come in any state.
    exposed: bool,
}

/// What stands for a line that may hold a secret.
const LEFT_OUT: &str = "(a line that may hold a secret was left out)";
/// Commands behind whose `=` a secret may stand.
const CARRIERS: [&str; 3] = ["+CPIN=", "+CGAUTH=", "+CLCK="];

impl Secrets {
    /// A command with a secret goes out: `command` as sent, `shown` as it may be written down.
    pub(super) fn sent(&mut self, command: &str, shown: &str) {
        if command == shown {
            return;
        }
        self.exposed = true;
        // What is quoted in the one and not in the other is the secret.
        let quoted = command.split('"').skip(1).step_by(2);
        let open: Vec<&str> = shown.split('"').skip(1).step_by(2).collect();
        let fresh = quoted.filter(|q| !q.is_empty() && !open.contains(q)).map(str::to_owned);
        self.known.extend(fresh);
    }

    /// The modem is in step again: no echo of a secret is under way.
    pub(super) fn settled(&mut self) {
        self.exposed = false;
    }

    /// The line as it may be written down.
    pub(super) fn hide(&self, line: &str) -> String {
        let line = &without_password(line);
        if self.known.is_empty() {
            return line.to_owned();
        }
        if self.exposed && !is_harmless(line) {
            return LEFT_OUT.to_owned();
        }
        let upper = line.to_ascii_uppercase();
        if CARRIERS.iter().any(|c| upper.contains(c)) || self.known.iter().any(|s| line.contains(s))
        {
            return LEFT_OUT.to_owned();
        }
        line.to_owned()
    }
}

/// A login without the password that some modems show (TS 27.007 §10.1.31).
fn without_password(line: &str) -> String {
    let Some(at) = line.find("+CGAUTH:").map(|at| at + "+CGAUTH:".len()) else {
        return line.to_owned();
    };
    match fields(&line[at..], at).get(3) {
        Some(password) => {
            let (before, behind) = (&line[..password.span.start], &line[password.span.end..]);
            format!("{before}****{behind}")
        }
        None => line.to_owned(),
    }
}

/// Whether a line is a result code, a card state or a start: nothing that an echo could look like.
fn is_harmless(line: &str) -> bool {
    let line = line.trim();
    let state = line.strip_prefix("+CPIN: ");
    result(line).is_some_and(|_| line.len() < 24)
        || super::response::is_start(line)
        || state.is_some_and(|s| s.bytes().all(|b| b.is_ascii_uppercase() || b == b' '))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sent() -> Secrets {
        let mut secrets = Secrets::default();
        secrets.sent("AT+CPIN=\"4711\"", "AT+CPIN=\"****\"");
        secrets
    }

    #[test]
    fn results_and_states_stay_readable() {
        for line in ["OK", "+CME ERROR: 16", "+CPIN: READY", "RDY"] {
            assert_eq!(sent().hide(line), line);
        }
        let mut secrets = sent();
        secrets.settled();
        assert_eq!(secrets.hide("+CSQ: 17,99"), "+CSQ: 17,99");
        assert_eq!(secrets.hide("late: AT+CPIN=\"47"), LEFT_OUT);
    }

    #[test]
    fn a_password_that_the_modem_shows_is_not_written_down() {
        let none = Secrets::default();
        assert_eq!(none.hide("+CGAUTH: 1,2,\"gauge\",\"rain\""), "+CGAUTH: 1,2,\"gauge\",\"****\"");
        assert_eq!(none.hide("+CGAUTH: 1,2,\"gauge\""), "+CGAUTH: 1,2,\"gauge\"");
    }

    proptest! {
        /// Whatever one lost, doubled or changed byte makes of the echo, cut anywhere.
        #[test]
        fn no_broken_echo_shows_two_digits_of_a_pin(at in 0usize..14, kind in 0u8..4, cut in 0usize..15) {
            let mut echo = b"AT+CPIN=\"4711\"".to_vec();
            match kind {
                0 => { echo.remove(at); }
                1 => echo.insert(at, echo[at]),
                2 => echo[at] = 0xd5,
                _ => echo.insert(at, b'\n'),
            }
            let text = String::from_utf8_lossy(&echo).into_owned();
            for line in text.get(..cut).into_iter().chain(text.get(cut..)).flat_map(str::lines) {
                let shown = sent().hide(line);
                prop_assert!(!shown.contains("47") && !shown.contains("71") && !shown.contains("11"), "{}", shown);
            }
        }
    }
}
