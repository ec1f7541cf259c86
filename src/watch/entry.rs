//! The lines of a watch's log: the head of a survey with the watch's own manner, samples as surveys have them, events.
//!
//! A survey's reader takes the log for a survey and passes over the events.

use super::event::Event;
use crate::survey::sample::{self, Sample};
use serde::{Deserialize, Serialize};

/// The version of the log's form, beside that of the survey's.
pub(super) const FORMAT: u32 = 1;

/// One line of the log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Entry {
    /// The first line of each file.
    Head(Head),
    /// One reading.
    Sample(Sample),
    /// Something that happened.
    Event(Event),
}

/// What the log is about, and how the watch goes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// As in a survey.
    #[serde(flatten)]
    pub survey: sample::Head,
    /// How the watch goes; absent in a survey.
    pub watch: Manner,
}

/// How a watch goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Manner {
    /// The version of the form.
    pub format: u32,
    /// The interval of the readings, s.
    pub every_s: f64,
    /// The level under which it counts as low, dBm; the technology's own where none is set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low_dbm: Option<f64>,
    /// Whether a host is probed.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub probed: bool,
    /// The number of the last sample before this file.
    #[serde(default)]
    pub before: u64,
}

impl Head {
    /// The head of a site's log.
    pub fn of(site: &str, every_s: f64, low_dbm: Option<f64>, probed: bool) -> Self {
        Self {
            survey: sample::Head {
                format: sample::FORMAT,
                title: "watch".into(),
                site: sample::SiteHead { name: site.into(), ..sample::SiteHead::default() },
                with_index: true,
                ..sample::Head::default()
            },
            watch: Manner { format: FORMAT, every_s, low_dbm, probed, before: 0 },
        }
    }
}

impl Entry {
    /// When it was written.
    pub const fn at(&self) -> Option<chrono::DateTime<chrono::Utc>> {
        match self {
            Self::Head(_) => None,
            Self::Sample(sample) => Some(sample.at),
            Self::Event(event) => Some(event.at),
        }
    }
}
