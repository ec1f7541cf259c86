//! The kinds of trouble that make an outage, and how long each lasts.

use super::event::{Event, Kind};
use chrono::{DateTime, Utc};
use std::time::Duration;

/// What keeps a site from working.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, strum::EnumIter)]
pub enum Trouble {
    /// The port is gone.
    Port,
    /// The modem does not answer.
    Silence,
    /// The modem is not registered.
    Registration,
    /// No context has an address.
    Session,
    /// Nothing passes.
    Traffic,
}

impl Trouble {
    /// The event that begins it.
    pub const fn begins(self) -> Kind {
        match self {
            Self::Port => Kind::PortAway,
            Self::Silence => Kind::NoAnswer,
            Self::Registration => Kind::RegistrationLost,
            Self::Session => Kind::SessionLost,
            Self::Traffic => Kind::TrafficLost,
        }
    }

    /// The event that ends it.
    pub const fn ends(self) -> Kind {
        match self {
            Self::Port => Kind::PortBack,
            Self::Silence => Kind::AnswersAgain,
            Self::Registration => Kind::RegistrationRegained,
            Self::Session => Kind::SessionRegained,
            Self::Traffic => Kind::TrafficRegained,
        }
    }
}

/// A trouble that lasts.
#[derive(Clone, Debug)]
struct Open {
    trouble: Trouble,
    began: Duration,
    /// The last reading that was well before it; `None` where there was none.
    last_well: Option<Duration>,
    cause: String,
}

/// The troubles that last, by a clock that is never set.
#[derive(Clone, Debug, Default)]
pub(super) struct Troubles {
    open: Vec<Open>,
}

impl Troubles {
    /// Whether this one lasts.
    pub(super) fn has(&self, trouble: Trouble) -> bool {
        self.open.iter().any(|o| o.trouble == trouble)
    }

    /// The one that lasts, the lowest where there are several.
    pub(super) fn lowest(&self) -> Option<Trouble> {
        self.open.iter().map(|o| o.trouble).min()
    }

    /// When the present outage began.
    pub(super) fn since(&self) -> Option<Duration> {
        self.open.iter().map(|o| o.began).min()
    }

    /// One begins, unless it lasts already.
    pub(super) fn begin(
        &mut self,
        trouble: Trouble,
        at: DateTime<Utc>,
        now: Duration,
        last_well: Option<Duration>,
        text: &str,
    ) -> Option<Event> {
        if self.has(trouble) {
            return None;
        }
        self.open.push(Open { trouble, began: now, last_well, cause: String::new() });
        Some(Event::new(at, trouble.begins(), text))
    }

    /// The network's cause of one that lasts; `true` where it was not known.
    pub(super) fn cause(&mut self, trouble: Trouble, cause: &str) -> bool {
        let open = self.open.iter_mut().find(|o| o.trouble == trouble && o.cause.is_empty());
        open.is_some_and(|open| {
            cause.clone_into(&mut open.cause);
            true
        })
    }

    /// One ends, if it lasts.
    pub(super) fn end(
        &mut self,
        trouble: Trouble,
        at: DateTime<Utc>,
        now: Duration,
    ) -> Option<Event> {
        let place = self.open.iter().position(|o| o.trouble == trouble)?;
        let open = self.open.remove(place);
        let lasted =
            |since: Duration| (now.saturating_sub(since).as_secs_f64() * 1000.0).round() / 1000.0;
        Some(Event {
            duration_s: Some(lasted(open.began)),
            at_most_s: open.last_well.map(lasted),
            cause: open.cause,
            ..Event::new(at, trouble.ends(), "")
        })
    }
}
