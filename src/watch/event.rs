//! What can happen during a watch, and the line of the log that says so.

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use std::fmt;

/// The kinds of event.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    strum::EnumIter,
    strum::IntoStaticStr,
)]
#[serde(rename_all = "kebab-case")]
#[strum(serialize_all = "kebab-case")]
pub enum Kind {
    /// The watch begins; nothing is known of the time since the last line.
    Started,
    /// The watch ends.
    Stopped,
    /// The modem is no longer registered, or was not when the watch began.
    RegistrationLost,
    /// It is registered again.
    RegistrationRegained,
    /// The modem is registered, and no context has an address any more.
    SessionLost,
    /// A context has an address again.
    SessionRegained,
    /// The modem is registered, and the probed host does not answer.
    TrafficLost,
    /// The probed host answers again.
    TrafficRegained,
    /// The modem does not answer.
    NoAnswer,
    /// It answers again.
    AnswersAgain,
    /// The port is gone: unplugged, or taken away by a restart.
    PortAway,
    /// The port is there again.
    PortBack,
    /// Another program holds the port; nothing is known meanwhile.
    PortBusy,
    /// The port is free again.
    PortFree,
    /// The serving cell is another one.
    CellChanged,
    /// The band is another one.
    BandChanged,
    /// The technology is another one.
    TechnologyChanged,
    /// The network is another one.
    NetworkChanged,
    /// A context's address is another one.
    AddressChanged,
    /// The modem started anew.
    Restarted,
    /// The card cannot be used.
    CardTrouble,
    /// It can be used again.
    CardReady,
    /// The level is under the threshold.
    LevelLow,
    /// It is above the threshold again.
    LevelRecovered,
    /// The modem was examined; what was found.
    Explained,
    /// The clock of the computer was set, or the computer slept.
    ClockStep,
    /// The log could not be written for a while; what is left out.
    LogGap,
    /// Something else that whoever reads should know.
    Note,
}

impl Kind {
    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Started => "watch began",
            Self::Stopped => "watch ended",
            Self::RegistrationLost => "registration lost",
            Self::RegistrationRegained => "registered again",
            Self::SessionLost => "session lost",
            Self::SessionRegained => "session again",
            Self::TrafficLost => "no traffic",
            Self::TrafficRegained => "traffic again",
            Self::NoAnswer => "no answer from the modem",
            Self::AnswersAgain => "the modem answers again",
            Self::PortAway => "port gone",
            Self::PortBack => "port back",
            Self::PortBusy => "another program holds the port",
            Self::PortFree => "port free again",
            Self::CellChanged => "cell changed",
            Self::BandChanged => "band changed",
            Self::TechnologyChanged => "technology changed",
            Self::NetworkChanged => "network changed",
            Self::AddressChanged => "address changed",
            Self::Restarted => "modem restarted",
            Self::CardTrouble => "card trouble",
            Self::CardReady => "card ready",
            Self::LevelLow => "level low",
            Self::LevelRecovered => "level recovered",
            Self::Explained => "explained",
            Self::ClockStep => "clock stepped",
            Self::LogGap => "log was interrupted",
            Self::Note => "note",
        }
    }

    /// The name as it stands in the log.
    pub fn name(self) -> &'static str {
        self.into()
    }
}

/// One event, without identities or addresses.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// When it was seen.
    pub at: DateTime<Utc>,
    /// What.
    pub kind: Kind,
    /// More, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// How long what ends here lasted, s: from where it was first seen to where its end was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub duration_s: Option<f64>,
    /// How long it lasted at most, s: from the last reading before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most_s: Option<f64>,
    /// The network's cause as its list and number: `emm 15`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub cause: String,
    /// What was before a change.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub from: String,
    /// What is behind a change.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub to: String,
    /// The level, dBm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level_dbm: Option<f64>,
    /// The id of the finding.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub finding: String,
    /// How sure the finding is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub certainty: String,
    /// Who can act.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub acts: String,
    /// The file with the dialogue.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub capture: String,
    /// Seconds: a step of the clock, or a time without a watch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seconds: Option<f64>,
    /// How many: samples and events that were left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub count: Option<u64>,
}

impl Event {
    /// An event with words.
    pub fn new(at: DateTime<Utc>, kind: Kind, text: impl Into<String>) -> Self {
        Self {
            at: crate::survey::sample::moment(at),
            kind,
            text: text.into(),
            duration_s: None,
            at_most_s: None,
            cause: String::new(),
            from: String::new(),
            to: String::new(),
            level_dbm: None,
            finding: String::new(),
            certainty: String::new(),
            acts: String::new(),
            capture: String::new(),
            seconds: None,
            count: None,
        }
    }

    /// A change from one thing to another.
    pub(super) fn change(at: DateTime<Utc>, kind: Kind, from: String, to: String) -> Self {
        Self { from, to, ..Self::new(at, kind, "") }
    }
}

impl fmt::Display for Event {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}  {}", self.at.format("%Y-%m-%d %H:%M:%SZ"), self.kind.words())?;
        let mut parts = Vec::new();
        if let Some(level) = self.level_dbm {
            parts.push(format!("{level:.0} dBm"));
        }
        if !self.from.is_empty() || !self.to.is_empty() {
            let named = |s: &str| if s.is_empty() { "not known".to_owned() } else { s.to_owned() };
            parts.push(format!("{} to {}", named(&self.from), named(&self.to)));
        }
        if let Some(lasted) = self.duration_s {
            parts.push(match self.at_most_s {
                Some(most) if most > lasted => {
                    format!("after {} to {}", span(lasted), span(most))
                }
                _ => format!("after {}", span(lasted)),
            });
        }
        for words in [&self.finding, &self.cause, &self.text, &self.capture] {
            if !words.is_empty() {
                parts.push(words.clone());
            }
        }
        if parts.is_empty() { Ok(()) } else { write!(f, ": {}", parts.join(", ")) }
    }
}

/// A span of time as people say it.
pub(super) fn span(seconds: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and far below the largest number"
    )]
    let all = seconds.max(0.0).round() as u64;
    let (days, hours, minutes) = (all / 86_400, all / 3600 % 24, all / 60 % 60);
    if all < 120 {
        format!("{all} s")
    } else if all < 7200 {
        format!("{} min", all / 60)
    } else if days == 0 {
        format!("{hours} h {minutes} min")
    } else {
        format!("{days} d {hours} h")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use strum::IntoEnumIterator;

    #[test]
    fn every_kind_is_written_and_read_as_its_name() {
        for kind in Kind::iter() {
            let written = serde_json::to_string(&kind).unwrap();
            assert_eq!(written, format!("\"{}\"", kind.name()));
            assert_eq!(serde_json::from_str::<Kind>(&written).unwrap(), kind);
            assert!(!kind.words().is_empty());
        }
    }

    #[test]
    fn an_event_in_one_line() {
        let at = DateTime::from_timestamp(1_790_000_000, 0).unwrap();
        let event = Event {
            duration_s: Some(95.0),
            at_most_s: Some(130.0),
            cause: "emm 15".into(),
            ..Event::new(at, Kind::RegistrationRegained, "")
        };
        assert_eq!(
            event.to_string(),
            "2026-09-21 14:13:20Z  registered again: after 95 s to 2 min, emm 15"
        );
        let text = serde_json::to_string(&event).unwrap();
        assert_eq!(serde_json::from_str::<Event>(&text).unwrap(), event);
        assert!(!text.contains("finding"), "{text}");
    }

    #[test]
    fn spans_in_words() {
        for (seconds, words) in
            [(0.4, "0 s"), (119.0, "119 s"), (7199.0, "119 min"), (9000.0, "2 h 30 min")]
        {
            assert_eq!(span(seconds), words);
        }
        assert_eq!(span(200_000.0), "2 d 7 h");
    }
}
