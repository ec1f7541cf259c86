//! The device layer: radio on or off, starting, restarting, heat.

pub(super) mod hot;
pub(super) mod image_mismatch;
pub(super) mod not_ready;
pub(super) mod radio_off;
pub(super) mod restarts;

use super::Rule;

pub(super) static RULES: &[&Rule] =
    &[&radio_off::RULE, &image_mismatch::RULE, &restarts::RULE, &hot::RULE, &not_ready::RULE];
