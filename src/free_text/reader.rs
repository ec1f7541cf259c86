//! Lines of words, one after the other, to facts: the vocabulary, keys with values, sentences, kernel lines.

use super::chat::Chat;
use super::columns::Columns;
use super::events::{self, Events};
use super::heard::Heard;
use super::interface::Interface;
use super::kernel::Bus;
use super::lease::Lease;
use super::link::Link;
use super::page::Page;
use super::polarity::{self, Polarity};
use super::profiles::Profiles;
use super::rfkill::Switches;
use super::scope::{About, Scope};
use super::settings::{self, Allowed};
use super::words::words;
use super::{
    bands, card, causes, complaints, key_value, meaning, names, network_code, phrase, port, quoted,
    readings, statement, subject, traffic, values, voice,
};
use crate::case::{Domain, Fact, Facts, Host, Power, ReportedBy, Sim};
use crate::reference::status_words::{State, Subject};
use crate::span::Span;

/// Reads lines of words in their order.
#[derive(Debug, Default)]
pub(crate) struct FreeText<'t> {
    bus: Bus,
    chat: Chat,
    lease: Lease,
    link: Link,
    page: Page,
    switches: Switches,
    profiles: Profiles,
    scope: Scope,
    columns: Columns,
    heard: Heard,
    interface: Interface,
    events: Events,
    allowed: Allowed,
    /// Where lines stand that list what may come.
    listings: Vec<Span>,
    /// The host restarted the modem: that it is gone now is the host's own doing.
    restarted: bool,
    /// The last state that was told is a search.
    searches: bool,
    before: Option<Before<'t>>,
}

/// The last line, in which a wrapped sentence may have begun.
#[derive(Debug)]
struct Before<'t> {
    line: &'t str,
    at: usize,
    dialogue: bool,
    facts: Vec<Fact>,
}

impl<'t> FreeText<'t> {
    /// Reads a line that begins at `at`; `dialogue` where dialogue stands in it, too.
    pub(crate) fn read(&mut self, line: &'t str, at: usize, dialogue: bool, facts: &mut Facts) {
        let begun = facts.found().len();
        let by = voice::of(line);
        self.read_in_order(line, at, by, dialogue, facts);
        if by == ReportedBy::Host && events::host_restarts(line) {
            self.restarted = true;
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Power(Power::HostRestart), Span::new(at, at + line.trim_end().len()));
        }
        self.keep_search(line, begun, facts);
        let returned =
            |(fact, _): &(Fact, Span)| matches!(fact, Fact::Host(Host::Returned | Host::AtPort));
        if facts.found()[begun..].iter().any(returned) {
            self.restarted = false;
        }
        if self.restarted {
            facts.drop_since(begun, |fact| matches!(fact, Fact::Host(Host::Gone | Host::NoModem)));
        }
    }

    /// `Registered: no` behind a search that a page tells goes on with it.
    fn keep_search(&mut self, line: &str, begun: usize, facts: &mut Facts) {
        const SEARCHES: Fact = Fact::ReportedState(2);
        const NOT: Fact = Fact::ReportedState(0);
        let mut told = facts.found()[begun..].iter().rev().map(|(fact, _)| fact);
        let Some(last) = told.find(|fact| matches!(fact, Fact::ReportedState(_))) else { return };
        let no =
            || key_value::pairs(line).iter().any(|p| values::yes_or_no(p.value) == Some(false));
        if self.searches && *last == NOT && no() {
            facts.drop_since(begun, |fact| *fact == NOT);
        } else {
            self.searches = *last == SEARCHES;
        }
    }

    fn read_in_order(
        &mut self,
        line: &'t str,
        at: usize,
        by: ReportedBy,
        dialogue: bool,
        facts: &mut Facts,
    ) {
        /// A line end is no longer.
        const END: usize = 2;
        let before = self.before.take();
        let about = self.scope.enter(line, at);
        let host = by == ReportedBy::Host;
        let lower = line.to_ascii_lowercase();
        facts.said_by(by);
        if !dialogue && self.columns.read(&lower, at, about == About::Heard, &mut self.heard, facts)
        {
            return;
        }
        match about {
            About::This => {}
            About::Listing => {
                self.listings.push(Span::new(at, at + line.len()));
                return;
            }
            About::Heard => return self.heard.read(&lower, at, true),
            About::Past | About::Other if host && !voice::is_kernel(line) => return,
            About::Past | About::Other => {}
        }
        self.heard.read(&lower, at, false);
        self.profiles.read(&lower, at);
        if self.chat.read(line, at, facts)
            || self.bus.read(line, at, facts)
            || self.link.read(line, at, facts)
            || host && self.lease.read(&lower, at, facts)
            || host && self.switches.read(&lower, at, facts)
        {
            return;
        }
        if !dialogue && self.interface.read(&lower, at, facts) {
            return;
        }
        let begun = facts.found().len();
        let above = self.scope.headings().find_map(|words| meaning::domain("", words));
        let taken = read_line(line, &lower, at, (by, above), dialogue, facts);
        if host && (!dialogue || is_record(line)) {
            self.page_line(line, &lower, at, &taken, facts);
        }
        let found = facts.found()[begun..].iter().map(|(fact, _)| fact.clone()).collect();
        if let Some(before) = before.filter(|b| at <= b.at + b.line.len() + END) {
            before.goes_on(line, at, dialogue, facts);
        }
        if by == ReportedBy::Person {
            self.before = Some(Before { line, at, dialogue, facts: found });
        }
    }

    /// Reads what only a page or a program's log writes.
    fn page_line(
        &mut self,
        line: &'t str,
        lower: &str,
        at: usize,
        taken: &[Span],
        facts: &mut Facts,
    ) {
        facts.said_by(ReportedBy::Host);
        self.page.read(line, at, facts);
        network_code::read(lower, at, facts);
        settings::bands(lower, at, facts);
        settings::roaming(lower, at, facts);
        Heard::scan(lower, at, facts);
        let pairs = key_value::pairs(line);
        settings::read(&pairs, &self.scope, at, facts);
        card::read(&pairs, lower, &self.scope, at, facts);
        let switches = if self.scope.is_under(&["allowed"]) { pairs.first() } else { None };
        match switches.and_then(settings::switch) {
            Some(switch) => self.allowed.take(switch, Span::new(at, at + line.trim_end().len())),
            None => self.allowed.end(facts),
        }
        if !voice::is_kernel(line) {
            let words = words(lower);
            let line = events::Line { text: line, lower, words: &words, base: at, taken };
            self.events.read(line, facts);
        }
    }

    /// Whether a line, dialogue in it or not, stands in a list of what may come: a manual's, a legend's.
    pub(crate) fn is_listing(&mut self, line: Span) -> bool {
        let known =
            self.listings.iter().any(|span| span.start <= line.start && line.start < span.end);
        // A line of dialogue alone was not handed over; it goes on with a list that it follows directly.
        let goes_on = || self.listings.last().is_some_and(|last| last.end + 1 == line.start);
        let listed = known || goes_on();
        if listed && !known {
            self.listings.push(line);
        }
        listed
    }

    /// Notes what only the end of the text shows.
    pub(crate) fn finish(&mut self, facts: &mut Facts) {
        facts.said_by(ReportedBy::Host);
        self.columns.end(false, &mut self.heard, facts);
        self.allowed.end(facts);
        self.heard.finish(facts);
        self.chat.finish(facts);
        self.bus.finish(facts);
        self.link.finish(facts);
        self.lease.finish(facts);
        self.profiles.finish(facts);
    }
}

impl Before<'_> {
    /// Reads what neither line says alone: a sentence that was wrapped.
    fn goes_on(&self, line: &str, at: usize, dialogue: bool, facts: &mut Facts) {
        let first = self.line.trim_end();
        let rest = line.trim_start_matches([' ', '\t', '>', '|', '*']);
        let ended = first.ends_with(['.', '!', '?', ';', ':', '{', '}']) || first.len() > 400;
        let goes_on = !ended
            && rest.starts_with(|c: char| c.is_lowercase())
            && (!rest.contains([':', '=', '|', '/']) || voice::of(rest) == ReportedBy::Person);
        if !goes_on {
            return;
        }
        let both = format!("{first} {rest}");
        let mut found = Facts::default();
        let lower = both.to_ascii_lowercase();
        let by = voice::of(&both);
        read_line(&both, &lower, 0, (by, None), self.dialogue || dialogue, &mut found);
        let place = |p: usize| {
            if p <= first.len() {
                self.at + p
            } else {
                at + line.len() - rest.len() + p - first.len() - 1
            }
        };
        facts.said_by(ReportedBy::Person);
        for (fact, span) in found.drain() {
            let known = self.facts.contains(&fact) || facts.found().iter().any(|(f, _)| *f == fact);
            if !known {
                facts.push(fact, Span::new(place(span.start), place(span.end)));
            }
        }
    }
}

/// Whether a line says that an answer was awaited and none came.
pub(crate) fn is_silence(line: &str) -> bool {
    let mut facts = Facts::default();
    read_line(line, &line.to_ascii_lowercase(), 0, (voice::of(line), None), false, &mut facts);
    facts.found().iter().any(|(f, _)| matches!(f, Fact::Host(Host::Silent | Host::SaidSilent)))
}

/// Whether what stands at the end of this text is only assumed, asked or quoted there.
fn is_hypothetical(text: &str) -> bool {
    let polarity = polarity::of(text, 0, 0, ReportedBy::Person);
    matches!(polarity, Polarity::Hypothetical)
}

/// Reads one line of words; `dialogue` where a modem's dialogue stands in it, too.
///
/// `above` is the domain that the headings above it name. Gives the parts of the line that were read.
fn read_line(
    line: &str,
    lower: &str,
    base: usize,
    (by, above): (ReportedBy, Option<Domain>),
    dialogue: bool,
    facts: &mut Facts,
) -> Vec<Span> {
    facts.said_by(by);
    names::read(line, lower, by, base, facts);
    bands::read(lower, base, facts);
    let mut taken: Vec<Span> = Vec::new();
    if !dialogue || is_record(line) {
        taken.extend(values(line, base, by, above, facts));
    }
    if !dialogue {
        traffic::read(lower, base, facts);
        port::read(line, base, facts);
    }
    taken.extend(causes::read(line, lower, by, base, facts));
    let phrases = stated_phrases(line, base, by, &taken, facts);
    taken.extend(phrases);
    if !dialogue {
        statement::read(line, by, base, &taken, facts);
    }
    complaints::read(line, lower, by, base, facts);
    quoted::read(line, lower, by, base, facts);
    if by == ReportedBy::Host || !is_hypothetical(line) {
        readings::read(lower, by, base, facts);
    }
    taken
}

/// Whether a line is a record with names for its values, which may quote dialogue in them.
fn is_record(line: &str) -> bool {
    let line = line.trim_start();
    line.starts_with('{') && line.contains("\":")
}

/// Keys with values; gives the parts of the line that they take.
fn values(
    line: &str,
    base: usize,
    by: ReportedBy,
    above: Option<Domain>,
    facts: &mut Facts,
) -> Vec<Span> {
    let mut taken = Vec::new();
    // In a sentence a bare word such as "blocked" says too little; phrases of the vocabulary count there.
    if by == ReportedBy::Person {
        return taken;
    }
    for pair in key_value::pairs(line) {
        let Some(state) = subject::read(pair) else { continue };
        // Which code a locked modem wants is known already.
        if pair.value.eq_ignore_ascii_case("locked") && wants_code(facts) {
            continue;
        }
        if polarity::of(line, pair.start, pair.end, by) != Polarity::Stated {
            continue;
        }
        let span = Span::new(base + pair.start, base + pair.end);
        if let Some(attached) = packet_service(pair.key, state) {
            facts.push(Fact::Attached(attached), span);
        } else {
            let domain = meaning::domain("", &line[..pair.end]).or(above);
            meaning::note(state, domain, span, facts);
        }
        taken.push(Span::new(pair.start, pair.end));
    }
    taken
}

/// Whether the last state of the card that was read is a code that it wants.
fn wants_code(facts: &Facts) -> bool {
    let mut states = facts.found().iter().rev();
    let last =
        states.find_map(|(fact, _)| if let Fact::Sim(sim) = fact { Some(sim) } else { None });
    matches!(last, Some(Sim::PukRequired | Sim::Locked(_) | Sim::DeviceCode))
}

/// Whether a key of the packet service says that the modem is attached to it.
fn packet_service(key: &str, state: State) -> Option<bool> {
    use crate::reference::status_words::RegistrationState as R;
    let key = key.to_ascii_lowercase();
    let names = key.split(|c: char| !c.is_ascii_alphanumeric()).any(|word| {
        word == "ps" || ["packet", "attach", "gprs"].iter().any(|noun| word.contains(noun))
    });
    match state {
        State::Registration(R::Attached) if names => Some(true),
        State::Registration(R::Detached) if names => Some(false),
        _ => None,
    }
}

/// Phrases of the vocabulary that are stated of this modem now; gives the parts of the line that they take.
fn stated_phrases(
    line: &str,
    base: usize,
    by: ReportedBy,
    taken: &[Span],
    facts: &mut Facts,
) -> Vec<Span> {
    let mut found_at = Vec::new();
    for found in phrase::phrases(line) {
        let inside = |span: &Span| span.start <= found.start && found.end <= span.end;
        let says = counts(&found) || found.word.state == State::SaysNothing;
        if says {
            found_at.push(Span::new(found.start, found.end));
        }
        if taken.iter().any(inside) || !counts(&found) {
            continue;
        }
        // "Power off" in a sentence is an order to somebody, or a time, not the state of a radio.
        let order = matches!(found.word.state, State::Radio(_))
            && line[found.start..found.end].to_ascii_lowercase().starts_with("power")
            && (by == ReportedBy::Person
                || !line[..found.start].trim_end().ends_with([':', '=', '|', '>'])
                    && !line[..found.start].trim().is_empty());
        if !order && polarity::of(line, found.start, found.end, by) == Polarity::Stated {
            let span = Span::new(base + found.start, base + found.end);
            let domain = meaning::domain(found.word.list, line);
            meaning::note(found.word.state, domain, span, facts);
        }
    }
    found_at
}

/// Whether a phrase counts by itself: what only hints at a state needs the place that its row asks for.
fn counts(found: &phrase::Found) -> bool {
    use crate::reference::status_words::Where;
    let word = found.word;
    let in_place = !matches!(word.place, Where::Anywhere);
    match word.subject {
        _ if matches!(word.state, State::SaysNothing | State::Unknown) => false,
        _ if word.states_the_fact => true,
        Subject::Port | Subject::Device | Subject::Card => in_place,
        _ => false,
    }
}
