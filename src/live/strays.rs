//! What a damaged write may have changed beside its target: contexts and logins of other numbers.
//!
//! A byte that is lost or doubled on the line can turn the number of a context into another one.

use super::altered::Altered;
use super::apply::converge;
use super::refusal::Refusal;
use super::same_modem::SameModem;
use super::setting::{Setting, contexts, logins};
use crate::at::Client;
use std::collections::{BTreeMap, BTreeSet};

/// Every context and login before a change of one; nothing where no numbered setting is changed.
pub(super) struct Strays {
    contexts: Option<BTreeMap<u8, String>>,
    logins: Option<BTreeMap<u8, String>>,
}

impl Strays {
    /// Reads what the change might touch by mistake.
    pub(super) fn before(client: &mut Client<'_>, altered: &[Altered]) -> Result<Self, Refusal> {
        let any = |kind: fn(&Setting) -> bool| altered.iter().any(|a| kind(&a.setting));
        let of_contexts = any(|s| matches!(s, Setting::Context { .. }));
        let of_logins = any(|s| matches!(s, Setting::Login { .. }));
        Ok(Self {
            contexts: of_contexts.then(|| contexts(client)).transpose()?,
            logins: of_logins.then(|| logins(client)).transpose()?,
        })
    }

    /// Gives everything that was not meant the value that it had before.
    pub(super) fn put_back(
        &self,
        client: &mut Client<'_>,
        modem: &mut SameModem,
        meant: &[Altered],
    ) -> Result<(), Refusal> {
        let meant = |setting: &Setting| meant.iter().any(|a| a.setting == *setting);
        if let Some(before) = &self.contexts {
            for (number, was) in changed(before, &contexts(client)?, "") {
                let setting = Setting::Context { context: number };
                if !meant(&setting) {
                    converge(client, modem, &setting, &was, None)?;
                }
            }
        }
        if let Some(before) = &self.logins {
            for (number, was) in changed(before, &logins(client)?, "0") {
                let setting = Setting::Login { context: number };
                if meant(&setting) {
                    continue;
                }
                // The password of a login that was there before is not known here.
                if was != "0" {
                    return Err(Refusal::Stray { name: setting.name(), was });
                }
                converge(client, modem, &setting, &was, None)?;
            }
        }
        Ok(())
    }
}

/// The numbers whose value differs, with the value before; a number that is not listed has `none`.
fn changed(
    before: &BTreeMap<u8, String>,
    now: &BTreeMap<u8, String>,
    none: &str,
) -> Vec<(u8, String)> {
    let value = |of: &BTreeMap<u8, String>, n: u8| of.get(&n).map_or(none.into(), Clone::clone);
    let all: BTreeSet<u8> = before.keys().chain(now.keys()).copied().collect();
    all.into_iter()
        .filter(|n| value(before, *n) != value(now, *n))
        .map(|n| (n, value(before, n)))
        .collect()
}
