//! The form of a profile.

use crate::case::Rat;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A carrier: its networks, cards, access points, bands and limits.
#[derive(Clone, Debug, Default, Deserialize, Serialize, JsonSchema, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct Carrier {
    /// The name by which people know it.
    pub name: String,
    /// Its own network codes, five or six digits each.
    #[serde(default)]
    pub networks: Vec<String>,
    /// Networks that count as its own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub equivalent: Vec<String>,
    /// When this was known to be true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub as_of: Option<toml::value::Datetime>,
    /// Where it was taken from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// The usage setting wanted: `data-centric` or `voice-centric`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub usage: Option<String>,
    /// Power-saving features that the carrier allows: `psm`, `edrx`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub power_saving: Vec<String>,
    /// Who can change what.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contact: Option<String>,
    /// Which cards are its own.
    #[serde(default)]
    pub cards: Cards,
    /// Its access points.
    #[serde(default, rename = "access_point", skip_serializing_if = "Vec::is_empty")]
    pub access_points: Vec<AccessPoint>,
    /// The bands that it uses.
    #[serde(default, skip_serializing_if = "Bands::is_empty")]
    pub bands: Bands,
    /// Whether its cards may roam.
    #[serde(default, skip_serializing_if = "Roaming::is_empty")]
    pub roaming: Roaming,
    /// Limits on devices.
    #[serde(default, skip_serializing_if = "Limits::is_empty")]
    pub limits: Limits,
    /// Acceptance thresholds of its own, by quantity (`rsrp_dbm = -110`).
    #[serde(default, skip_serializing_if = "std::collections::BTreeMap::is_empty")]
    pub acceptance: std::collections::BTreeMap<String, f64>,
}

/// How its cards are known.
#[derive(Clone, Debug, Default, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Cards {
    /// First digits of the subscriber numbers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub imsi: Vec<String>,
    /// First digits of the card numbers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub iccid: Vec<String>,
    /// Group identifiers level 1, hexadecimal, from their first digits.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gid1: Vec<String>,
    /// Provider names that the card shows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub provider_name: Vec<String>,
}

/// An address type.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
pub enum Address {
    /// IPv4.
    #[serde(rename = "IP")]
    V4,
    /// IPv6.
    #[serde(rename = "IPV6")]
    V6,
    /// Both.
    #[serde(rename = "IPV4V6")]
    Both,
    /// None: data without IP.
    #[serde(rename = "Non-IP")]
    NonIp,
}

impl Address {
    /// The word in `+CGDCONT`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::V4 => "IP",
            Self::V6 => "IPV6",
            Self::Both => "IPV4V6",
            Self::NonIp => "Non-IP",
        }
    }
}

/// How an access point asks for credentials.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Authentication {
    /// Not at all.
    None,
    /// In the clear (RFC 1334).
    Pap,
    /// By a challenge (RFC 1994).
    Chap,
}

impl Authentication {
    /// The number in `+CGAUTH` (TS 27.007 §10.1.31).
    pub const fn number(self) -> u8 {
        match self {
            Self::None => 0,
            Self::Pap => 1,
            Self::Chap => 2,
        }
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Pap => "PAP",
            Self::Chap => "CHAP",
        }
    }
}

/// One access point.
#[derive(Clone, Debug, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct AccessPoint {
    /// The name; empty where the network chooses.
    pub name: String,
    /// What it is for: `attach`, `internet`, `telemetry`, `fixed-address`, `ims`, `mms`, `management`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub purpose: Vec<String>,
    /// The address type.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub address: Option<Address>,
    /// The kind of authentication.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub authentication: Option<Authentication>,
    /// Where the credentials are kept; never the credentials themselves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub credentials: Option<String>,
    /// The context number wanted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub context: Option<u8>,
    /// Largest packet, bytes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mtu: Option<u16>,
}

impl AccessPoint {
    /// Whether it is for voice, messages or management rather than data.
    pub fn is_for_other_use(&self) -> bool {
        !self.purpose.is_empty()
            && self.purpose.iter().all(|p| matches!(p.as_str(), "ims" | "mms" | "management"))
    }
}

/// The bands in use, by technology.
#[derive(Clone, Debug, Default, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Bands {
    /// E-UTRA bands.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lte: Vec<u16>,
    /// E-UTRA bands with LTE-M.
    #[serde(default, rename = "lte-m", skip_serializing_if = "Vec::is_empty")]
    pub lte_m: Vec<u16>,
    /// Bands with NB-IoT.
    #[serde(default, rename = "nb-iot", skip_serializing_if = "Vec::is_empty")]
    pub nb_iot: Vec<u16>,
    /// NR bands, without `n`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub nr: Vec<u16>,
    /// UTRA bands.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub umts: Vec<u16>,
    /// GSM bands by name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gsm: Vec<String>,
    /// Where this holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// When this was known to be true.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub as_of: Option<toml::value::Datetime>,
}

impl Bands {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The bands of a technology; empty where the profile says nothing.
    pub fn of(&self, rat: Rat) -> &[u16] {
        match rat {
            Rat::Lte => &self.lte,
            Rat::LteM => &self.lte_m,
            Rat::NbIot => &self.nb_iot,
            Rat::Nr => &self.nr,
            Rat::Utra => &self.umts,
            Rat::Gsm => &[],
        }
    }

    /// The technologies that the profile names bands for.
    pub fn technologies(&self) -> Vec<Rat> {
        let mut named: Vec<Rat> = [Rat::Utra, Rat::Lte, Rat::LteM, Rat::NbIot, Rat::Nr]
            .into_iter()
            .filter(|r| !self.of(*r).is_empty())
            .collect();
        if !self.gsm.is_empty() {
            named.push(Rat::Gsm);
        }
        named
    }
}

/// Roaming.
#[derive(Clone, Debug, Default, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Roaming {
    /// Whether the cards may roam.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allowed: Option<bool>,
    /// Networks with an agreement.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub partners: Vec<String>,
    /// For how many days in a row.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u16>,
}

impl Roaming {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Limits on devices.
#[derive(Clone, Debug, Default, Deserialize, Serialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Only devices on the carrier's list are served.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub approval_list: bool,
    /// Models that are approved, as their identification prints them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub approved_models: Vec<String>,
    /// A card is bound to one device's IMEI.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub imei_bound: bool,
}

impl Limits {
    fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
