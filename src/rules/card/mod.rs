//! The card layer: whether it is seen, works, and is unlocked.

mod common;
pub(super) mod detection_setting;
pub(super) mod failure;
pub(super) mod forbidden_list;
pub(super) mod identifier;
pub(super) mod lock;
pub(super) mod no_profile;
pub(super) mod not_detected;
pub(super) mod pin_attempts_low;
pub(super) mod pin_required;
pub(super) mod puk_required;

use super::Rule;
use common::{FOLLOW_UP, WITHOUT_CARD, state};

pub(super) static RULES: &[&Rule] = &[
    &detection_setting::RULE,
    &not_detected::RULE,
    &failure::RULE,
    &puk_required::RULE,
    &pin_required::RULE,
    &pin_attempts_low::RULE,
    &lock::RULE,
    &no_profile::RULE,
    &identifier::RULE,
    &forbidden_list::RULE,
];
