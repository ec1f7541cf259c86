//! The device layer: radio on or off, starting, restarting, heat.

mod hot;
mod not_ready;
mod radio_off;
mod restarts;

use super::Rule;

pub(super) static RULES: &[&Rule] =
    &[&radio_off::RULE, &restarts::RULE, &hot::RULE, &not_ready::RULE];
