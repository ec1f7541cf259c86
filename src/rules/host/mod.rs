//! The host layer: the port, and whether anything answers there.

pub(super) mod boot_loader;
mod consequences;
pub(super) mod no_at_port;
pub(super) mod no_modem;
mod port;
pub(super) mod port_busy;
pub(super) mod port_denied;
pub(super) mod port_not_at;
pub(super) mod port_silent;

use super::Rule;

pub(super) static RULES: &[&Rule] = &[
    &no_modem::RULE,
    &no_at_port::RULE,
    &boot_loader::RULE,
    &port_busy::RULE,
    &port_denied::RULE,
    &port_not_at::RULE,
    &port_silent::RULE,
];
