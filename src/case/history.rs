//! One kind of fact over time: the latest counts, the earlier ones stay to be told.

use crate::capture::Stamp;
use crate::span::Span;
use std::borrow::Cow;

/// Who says a fact.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReportedBy {
    /// A person, in a sentence: never makes a cause certain.
    Person,
    /// A machine beside the modem: a kernel line, a status table, a program's log.
    Host,
    /// The modem itself.
    #[default]
    Modem,
}

/// One fact read from a text, and where and when it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation<T> {
    /// The fact, in its own type and unit.
    pub value: T,
    /// Where the text that says so stands in the input.
    pub span: Span,
    /// When it was logged; `None` without time stamps.
    pub at: Option<Stamp>,
    /// Its place in the order of all observations.
    pub order: usize,
    /// Who says it.
    pub by: ReportedBy,
}

/// A line that shows something, and what it shows in plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// Where it stands in the input.
    pub span: Span,
    /// What it says.
    pub says: Cow<'static, str>,
    /// Who says it.
    pub by: ReportedBy,
}

impl<T> Observation<T> {
    /// Turns the fact into evidence, `says` being its meaning in plain words.
    pub fn says(&self, says: impl Into<Cow<'static, str>>) -> Evidence {
        Evidence { span: self.span, says: says.into(), by: self.by }
    }
}

/// All observations of one kind, in order.
#[derive(Clone, Debug)]
pub struct History<T> {
    all: Vec<Observation<T>>,
    /// Those before this index were true before a restart.
    current: usize,
    /// That index before the last restart.
    before: usize,
    /// Those from this index on are what a host ordered when it gave up.
    end: Option<usize>,
}

impl<T> Default for History<T> {
    fn default() -> Self {
        Self { all: Vec::new(), current: 0, before: 0, end: None }
    }
}

/// What keeps the observations of one kind of fact.
pub(super) trait Keep<T> {
    /// Keeps one more, later than all before it.
    fn keep(&mut self, observed: Observation<T>);
}

impl<T> Keep<T> for History<T> {
    fn keep(&mut self, observed: Observation<T>) {
        self.push(observed);
    }
}

/// What is true for a time.
pub(super) trait Dated {
    /// What was seen so far no longer holds.
    fn outdate(&mut self);

    /// What was seen from `order` on does not count; with `restore` what the last restart outdated holds again.
    fn close(&mut self, order: usize, restore: bool);
}

impl<T> Dated for History<T> {
    fn outdate(&mut self) {
        self.before = self.current;
        self.current = self.all.len();
    }

    fn close(&mut self, order: usize, restore: bool) {
        let end = self.all.partition_point(|o| o.order < order);
        self.current = if restore { self.before } else { self.current }.min(end);
        self.end = Some(end);
    }
}

/// Room for so many is made with the first: few captures hold more of one kind.
const FIRST: usize = 16;

/// So many are kept of one kind; from a longer recording the middle is dropped.
const MOST: usize = 20_000;

impl<T> History<T> {
    #[inline]
    pub(super) fn push(&mut self, observation: Observation<T>) {
        if self.all.len() == self.all.capacity() {
            self.make_room();
        }
        self.all.push(observation);
    }

    #[cold]
    fn make_room(&mut self) {
        let len = self.all.len();
        if len >= MOST {
            self.all.drain(MOST / 4..MOST / 2);
            self.current = self.current.min(MOST / 4);
            self.before = self.before.min(self.current);
        } else {
            self.all.reserve_exact(len.max(FIRST).min(MOST - len));
        }
    }

    /// The latest one that still holds.
    pub fn latest(&self) -> Option<&Observation<T>> {
        self.current().last()
    }

    /// Those that hold since the last restart.
    pub fn current(&self) -> &[Observation<T>] {
        &self.all[self.current..self.end.unwrap_or(self.all.len())]
    }

    /// All of them.
    pub fn all(&self) -> &[Observation<T>] {
        &self.all
    }
}
