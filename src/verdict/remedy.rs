//! What to do on this site: the steps of the root cause, without those that the text makes worthless.

use super::ask::{self, Ask};
use super::judged::Remedy;
use crate::rules::{Action, Layer, Rule, Site};
use std::borrow::Cow;

/// The steps of a rule for this site, in its order.
pub(super) fn of(site: &Site<'_>, rule: &Rule, asked: &[Ask]) -> Vec<Remedy> {
    let in_block = |c: &str| asked.iter().any(|a| !a.if_not_enough && a.commands.contains(&c));
    let worth = |action: &&Action| {
        let worthless = action.unless.is_some_and(|worthless| worthless(site));
        !worthless && !was_refused(site, action)
    };
    let remedy = |action: &Action| {
        let commands = action.commands_for((action.context)(site));
        let commands = if action.changes {
            commands.collect()
        } else {
            commands.filter(|c| ask::is_open(site, c) && !in_block(c)).collect()
        };
        let Action { by, text, changes, caution, .. } = *action;
        Remedy { by, text, commands, changes, caution }
    };
    rule.actions.iter().filter(worth).map(remedy).collect()
}

/// Whether a step would repeat what this modem refused: a change whose commands all ended in an error.
fn was_refused(site: &Site<'_>, action: &Action) -> bool {
    let refused = |command: Cow<'static, str>| {
        let bare = command.strip_prefix("AT").unwrap_or(&command);
        let failures = site.exchanges.failures.current();
        failures.iter().any(|o| o.value.command.eq_ignore_ascii_case(bare))
    };
    let mut commands = action.commands_for((action.context)(site));
    action.changes && !action.commands.is_empty() && commands.all(refused)
}

/// The read that shows whether a change of this rule helped.
pub(super) fn result(site: &Site<'_>, rule: &Rule) -> Option<&'static str> {
    match rule.layer() {
        Layer::Host => None,
        Layer::Card => Some("AT+CPIN?"),
        Layer::Device | Layer::Radio | Layer::Registration => Some(ask::state(site)),
        Layer::Bearer | Layer::Path => Some("AT+CGPADDR"),
    }
}
