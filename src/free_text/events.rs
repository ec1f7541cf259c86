//! What a program logs of registration, card and session: a noun of the trade with the word of its new state.
//!
//! ```text
//! emm: attach accept, tac 0x2B11        cell: registered home 001-01        session 1 up 10.21.4.2
//! state DEREGISTERED        card busy        bearer lost        tracking area update accepted
//! ```
//!
//! Names of messages are those of TS 24.301 §8 and TS 24.501 §8; common practice, no source, how programs join nouns
//! and states. Only a machine's lines are read so; a person's sentences are read by `statement`.

mod device;

pub(super) use device::host_restarts;

use super::polarity::{self, Polarity};
use super::words::Word;
use super::{meaning, page, values};
use crate::case::{Domain, Fact, Facts, Registration, ReportedBy};
use crate::reference::status_words::{Of, RegistrationState, SessionState, State};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// What the log said of the session so far.
#[derive(Debug, Default)]
pub(super) struct Events {
    session_up: bool,
    /// The domain in which the network took the modem last.
    domain: Option<Domain>,
}

/// A line as this grammar reads it.
#[derive(Clone, Copy)]
pub(super) struct Line<'a> {
    pub(super) text: &'a str,
    pub(super) lower: &'a str,
    pub(super) words: &'a [Word<'a>],
    pub(super) base: usize,
    /// What was read already.
    pub(super) taken: &'a [Span],
}

impl Line<'_> {
    fn has(&self, list: &[&str]) -> bool {
        self.words.iter().any(|w| w.is(list))
    }

    /// Whether one of the words begins so.
    fn begins(&self, stems: &[&str]) -> bool {
        self.words.iter().any(|w| stems.iter().any(|stem| w.text.starts_with(stem)))
    }

    fn stated(&self, from: usize, to: usize) -> Option<Span> {
        let (start, end) = (self.words[from].start, self.words[to].end);
        let inside = self.taken.iter().any(|s| s.start <= start && end <= s.end);
        (!inside && polarity::of(self.text, start, end, ReportedBy::Host) == Polarity::Stated)
            .then(|| Span::new(self.base + start, self.base + end))
    }
}

impl Events {
    /// Reads a line of a program's log or a page.
    pub(super) fn read(&mut self, line: Line<'_>, facts: &mut Facts) {
        self.registration(&line, facts);
        device::card(&line, facts);
        device::restart_reason(&line, facts);
        device::no_modem(&line, facts);
        self.session(&line, facts);
    }

    fn registration(&mut self, line: &Line<'_>, facts: &mut Facts) {
        if line.words.iter().any(|w| w.is(words_of(List::OtherRegistrar))) {
            return;
        }
        for (at, word) in line.words.iter().enumerate() {
            if let Some((noun, domain)) = procedure(line, at) {
                let behind = line.words.iter().enumerate().skip(noun + 1).take(3);
                let accepted = behind.clone().find(|(_, w)| w.is(words_of(List::Accepted)));
                // Between noun and verb stands nothing that refuses.
                if let Some((to, _)) = accepted
                    && let Some(span) = line.stated(at, to)
                    && !line.words[noun..to].iter().any(|w| w.text.starts_with("reject"))
                {
                    self.domain = domain.or(self.domain);
                    state(RegistrationState::Registered, domain, line, span, facts);
                    return;
                }
            }
            if let Some(new) = bare_state(line, at, word)
                && let Some(span) = line.stated(at, at)
            {
                state(new, meaning::domain("", line.text), line, span, facts);
                return;
            }
            // `network requested detach`, `detached by network`.
            if word.text.starts_with("detach")
                && line.has(&["network", "nw"])
                && !line.has(&["not", "accept", "accepted"])
                && let Some(span) = line.stated(at, at)
            {
                facts.push(Fact::Released(true), span);
                self.ended(0, span, facts);
                return;
            }
            // A refusal after it was taken: `attach reject`, `registration rejected`.
            if matches!(word.text, "attach" | "registration" | "tau" | "update")
                && line.words.get(at + 1).is_some_and(|w| w.text.starts_with("reject"))
                && let Some(span) = line.stated(at, at + 1)
            {
                self.ended(3, span, facts);
                return;
            }
        }
    }

    /// The network ended what it had granted: the state of the domain that it was granted in is no longer true.
    fn ended(&mut self, stat: u8, span: Span, facts: &mut Facts) {
        if let Some(domain) = self.domain.take() {
            let state = Registration { domain, stat, act: None, unsolicited: true };
            facts.push(Fact::Registration(state), span);
        }
        if std::mem::take(&mut self.session_up) {
            facts.push(Fact::Session(SessionState::Inactive), span);
        }
    }

    fn session(&mut self, line: &Line<'_>, facts: &mut Facts) {
        if line.begins(words_of(List::OtherLink)) && !line.begins(&["wwan", "ppp"]) {
            return;
        }
        for (at, word) in line.words.iter().enumerate() {
            let (sure, link) =
                (word.is(words_of(List::SessionNoun)), word.is(words_of(List::LinkNoun)));
            if !sure && !link {
                continue;
            }
            // The state stands behind its noun, a number or a few words of the same noun between.
            let behind = line.words.iter().enumerate().skip(at + 1).take(4);
            let between = |w: &Word<'_>| {
                w.is(words_of(List::SessionNoun))
                    || w.is(words_of(List::SessionFiller))
                    || w.text.bytes().all(|b| b.is_ascii_digit())
            };
            let Some((to, state)) = behind
                .clone()
                .find_map(|(to, w)| Some((to, values::of(Of::Session, w.text)?)))
                .filter(|(to, _)| line.words[at + 1..*to].iter().all(between))
            else {
                continue;
            };
            let State::Session(state @ (SessionState::Active | SessionState::Inactive)) = state
            else {
                continue;
            };
            let up = state == SessionState::Active;
            // `data active` may be a lamp, `link down` a cable: they count with what was said before.
            let vague = !up && (link || word.is(&["data"]));
            let Some(span) = line.stated(at, to).filter(|_| !vague || self.session_up) else {
                continue;
            };
            self.session_up = up;
            facts.push(Fact::Session(state), span);
            return;
        }
        if let Some(span) = self.with_address(line) {
            self.session_up = true;
            facts.push(Fact::Session(SessionState::Active), span);
        }
    }

    /// `pdn 1 up 172.16.90.4`, `Configure-Ack, Opened, local 10.140.3.88`: the noun of a session and an address from the
    /// network.
    fn with_address(&self, line: &Line<'_>) -> Option<Span> {
        if self.session_up
            || !line.has(words_of(List::SessionOwner))
            || line.has(words_of(List::AddressRefused))
        {
            return None;
        }
        let (start, end) = page::own_address(line.lower)?;
        Some(Span::new(line.base + start, line.base + end))
    }
}

/// The procedures whose acceptance shows the modem registered, and in which domain.
fn procedure(line: &Line<'_>, at: usize) -> Option<(usize, Option<Domain>)> {
    let words = line.words;
    let text = |n: usize| words.get(n).map_or("", |w| w.text);
    let packet = || line.has(&["gmm", "gprs", "geran", "utran", "umts"]);
    Some(match text(at) {
        "attach" => (at, Some(if packet() { Domain::Packet } else { Domain::Eps })),
        "registration" | "register" => {
            let new = line.begins(&["5g", "nr"]) || line.text.contains("REGISTRATION ACCEPT");
            (at, new.then_some(Domain::FiveG))
        }
        "tau" => (at, Some(Domain::Eps)),
        "rau" => (at, Some(Domain::Packet)),
        "tracking" if text(at + 1) == "area" => (at + 2, Some(Domain::Eps)),
        "routing" if text(at + 1) == "area" => (at + 2, Some(Domain::Packet)),
        _ => return None,
    })
}

/// A word of registration that stands where a log puts its states: behind `state`, an arrow or the subject, or at the
/// beginning of a message.
fn bare_state(line: &Line<'_>, at: usize, word: &Word<'_>) -> Option<RegistrationState> {
    use RegistrationState as R;
    let next = line.words.get(at + 1).map_or("", |w| w.text);
    let before = at.checked_sub(1).map(|n| line.words[n]);
    let gap =
        before.map_or(line.lower[..word.start].trim(), |b| line.lower[b.end..word.start].trim());
    let opens =
        before.is_none() || matches!(gap, ":" | "->" | "=>" | "]" | "\u{2192}" | "|" | "=" | ">");
    let behind_subject =
        before.is_some_and(|b| b.is(words_of(List::StateSubject)) || is_numbered(b.text));
    let denied = before
        .is_some_and(|b| b.is(&["not", "no", "never", "last", "was", "un", "being", "if", "when"]));
    if denied || !(opens || behind_subject || gap == ",") {
        return None;
    }
    let roams = next == "roaming" || line.lower[word.end..].starts_with("-roaming");
    match word.text {
        "registered" | "registered-home" | "registered-roaming" | "re-registered" => {
            let ends = matches!(
                next,
                "" | "home" | "roaming" | "to" | "on" | "in" | "at" | "lte" | "nr" | "plmn"
            ) || next.bytes().any(|b| b.is_ascii_digit())
                || line.lower[word.end..].trim_start().starts_with([',', ';', '(', '|']);
            ends.then_some(if roams || word.text.ends_with("roaming") {
                R::RegisteredRoaming
            } else {
                R::RegisteredHome
            })
        }
        "searching" | "scanning" if opens || behind_subject => Some(R::Searching),
        "deregistered" | "unregistered" => Some(R::Detached),
        _ => None,
    }
}

/// The name of one of several devices: letters and a number, as `wwan1`, `modem0`.
fn is_numbered(name: &str) -> bool {
    let letters = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = name.len() - letters.len();
    matches!(digits, 1 | 2)
        && !letters.is_empty()
        && letters.bytes().all(|b| b.is_ascii_alphabetic())
}

fn state(
    state: RegistrationState,
    domain: Option<Domain>,
    line: &Line<'_>,
    span: Span,
    facts: &mut Facts,
) {
    // The words of a registered modem name its technology as often as not.
    let domain = domain.filter(|d| *d != Domain::Circuit || line.has(&["cs", "circuit"]));
    match (state, domain) {
        (RegistrationState::Registered, Some(domain)) => facts.push(
            Fact::Registration(Registration { domain, stat: 1, act: None, unsolicited: true }),
            span,
        ),
        _ => meaning::note(State::Registration(state), domain, span, facts),
    }
}

#[cfg(test)]
mod tests;
