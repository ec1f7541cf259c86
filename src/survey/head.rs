//! The first line of a survey file: its form, what it is called, its site and its visit.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

/// The version of the survey file's form.
pub const FORMAT: u32 = 1;

/// What the file is about.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// The version of the form.
    pub format: u32,
    /// What the person called the survey.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// The modem: model and firmware, no identities.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub modem: String,
    /// The antenna as the person described it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub antenna: String,
    /// Whether the samples came from a simulated place.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub rehearsal: bool,
    /// The site.
    #[serde(default, skip_serializing_if = "SiteHead::is_empty")]
    pub site: SiteHead,
    /// The visit.
    #[serde(default, skip_serializing_if = "VisitHead::is_empty")]
    pub visit: VisitHead,
    /// Whether levels that the modem gave as an index have the index beside them.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub with_index: bool,
}

/// The site that a survey belongs to.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SiteHead {
    /// Its name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Latitude, WGS 84, degrees north.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latitude: Option<f64>,
    /// Longitude, WGS 84, degrees east.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longitude: Option<f64>,
    /// The carrier.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub carrier: String,
    /// The kind of device.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub device: String,
}

impl SiteHead {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// The visit that a survey was made on.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct VisitHead {
    /// The day, `2026-05-04`; without it, that of the first sample.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<NaiveDate>,
    /// Who measured.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// Why.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

impl VisitHead {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
