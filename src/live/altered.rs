//! A setting that a change alters, with its values before and after.

use super::setting::Setting;
use serde::{Deserialize, Serialize};

/// A setting before a change and after it.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub struct Altered {
    /// Its value before.
    pub before: String,
    /// Its value after; not known in an undo file of an earlier version.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// The setting.
    #[serde(flatten)]
    pub setting: Setting,
}
