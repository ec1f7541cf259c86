//! What need not be asked: what the text shows already, what this modem refused, what its command set has otherwise.

use crate::response::VendorCommandSet;
use crate::rules::reads::{
    BANDS, CARD_AGAIN, DETECTION, FULL_LEVEL, IMAGES, NAME_SERVERS, RADIO_AGAIN, REASON, REASON_5G,
    SLOT, TECHNOLOGY, VERBOSE,
};
use crate::rules::{self, Read, Site, VendorRead};

/// The commands of a group that are worth sending: as this modem has them, not shown by the text, not refused.
pub(super) fn worth_sending(
    site: &Site<'_>,
    own: Option<&'static VendorCommandSet>,
    read: &'static Read,
) -> Vec<&'static str> {
    in_command_set(site, own, read, unseen(site, read))
}

/// Whether a read, with its `AT`, is still worth sending: the text does not show its response, and no error to it.
pub(in crate::verdict) fn is_open(site: &Site<'_>, command: &str) -> bool {
    !is_shown(site, command) && !is_refused(site, command)
}

/// Reads that only a vendor's own command makes.
static OWN: [(&Read, VendorRead); 5] = [
    (&IMAGES, VendorRead::Images),
    (&SLOT, VendorRead::Slot),
    (&DETECTION, VendorRead::Detection),
    (&NAME_SERVERS, VendorRead::NameServers),
    (&BANDS, VendorRead::Bands),
];

/// The commands as this modem has them: its vendor's own read of cell, bands or technologies, if the text shows which
/// command set it has.
fn in_command_set(
    site: &Site<'_>,
    own: Option<&'static VendorCommandSet>,
    read: &Read,
    mut commands: Vec<&'static str>,
) -> Vec<&'static str> {
    let Some(own) = own else { return commands };
    let mut add = |read: VendorRead| {
        let command = read.command(own);
        commands.extend(command.filter(|c| is_open(site, c)));
    };
    if *read == FULL_LEVEL {
        commands.clear();
        if let Some(cell) = VendorRead::Cell.command(own).filter(|c| is_open(site, c)) {
            commands.push(cell);
        }
    } else if *read == TECHNOLOGY {
        add(VendorRead::Technology);
        add(VendorRead::Bands);
        // One command may read both.
        commands.dedup();
        if commands.len() > 1 {
            commands.retain(|c| *c != "AT+WS46?");
        }
    } else if let Some((_, own)) = OWN.iter().find(|(known, _)| *known == read) {
        add(*own);
    }
    commands
}

/// Whether the text shows the response to a command.
pub(super) fn is_shown(site: &Site<'_>, command: &str) -> bool {
    site.dialogue.shows(command.strip_prefix("AT").unwrap_or(command))
}

/// Commands that ended in a bare `ERROR`, as sent, without `AT`.
pub(super) fn bare_errors<'s>(site: &'s Site<'_>) -> impl Iterator<Item = &'s str> {
    let bare = site
        .exchanges
        .failures
        .all()
        .iter()
        .filter(|o| o.value.cme.is_none() && o.value.cms.is_none());
    bare.map(|o| o.value.command.as_str()).filter(|c| !c.is_empty())
}

/// A read that bears on the trouble and ended in a bare `ERROR`.
pub(super) fn unexplained(site: &Site<'_>) -> Option<&'static str> {
    let same = |c: &&'static str| {
        let bare = c.strip_prefix("AT").unwrap_or(c);
        bare_errors(site).any(|f| f.eq_ignore_ascii_case(bare))
    };
    rules::all().flat_map(|r| r.settled_by).flat_map(|group| group.commands).copied().find(same)
}

/// Whether errors come as numbers or words already.
pub(super) fn in_words(site: &Site<'_>) -> bool {
    site.dialogue.commands().any(|r| r.starts_with("+CMEE="))
        || site.exchanges.failures.all().iter().any(|o| o.value.cme.is_some())
}

/// Whether this modem refused a read. A refused setting says nothing of the read of the same name.
pub(super) fn is_refused(site: &Site<'_>, command: &str) -> bool {
    let bare = command.strip_prefix("AT").unwrap_or(command);
    let reads = |c: &str| c.ends_with('?') || !c.contains('=');
    let name = |c: &str| c.split(['?', '=']).next().unwrap_or(c).to_ascii_uppercase();
    site.exchanges.failures.all().iter().any(|o| {
        let refused = o.value.command.as_str();
        refused.eq_ignore_ascii_case(bare)
            || name(refused) == name(bare) && (!reads(bare) || reads(refused))
    })
}

/// The commands of a group that the text does not show already and that this modem did not refuse.
fn unseen(site: &Site<'_>, read: &Read) -> Vec<&'static str> {
    // The command that failed without a reason is sent again once errors come in words.
    if *read == VERBOSE {
        if in_words(site) || bare_errors(site).next().is_none() {
            return Vec::new();
        }
        return read.commands.iter().copied().chain(unexplained(site)).collect();
    }
    // What is read again after a step has another answer then.
    if [&CARD_AGAIN, &RADIO_AGAIN].contains(&read) {
        return read.commands.to_vec();
    }
    // The reject cause is read again even if the plain state was: the first command adds it.
    if [&REASON, &REASON_5G].contains(&read) {
        let (set, again) = (read.commands[0], read.commands[1]);
        let bare = set.strip_prefix("AT").unwrap_or(set);
        let known = ["3", "5"].iter().any(|n| site.dialogue.has_sent(&bare.replace('3', n)));
        return if known || is_refused(site, again) { Vec::new() } else { read.commands.to_vec() };
    }
    read.commands.iter().copied().filter(|c| *c == "AT" || is_open(site, c)).collect()
}
