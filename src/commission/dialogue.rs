//! Criteria that the dialogue of an examination settles: access point, address, home network, times to register.

use super::attach::Begun;
use super::judge::{Figure, Measured, Outcome, measured};
use crate::case::Case;

pub(super) fn access_point(wanted: &str, case: Option<&Case>) -> Measured {
    let stored = case.and_then(|c| {
        c.sessions.contexts.values().find_map(|h| h.latest()).map(|o| o.value.apn.clone())
    });
    let (said, outcome) = match stored {
        None => ("not read".into(), Outcome::Incomplete),
        Some(name) => {
            let difference = crate::carrier::access_point_name::difference(&name, wanted);
            let outcome = if difference.is_none() { Outcome::Passed } else { Outcome::Failed };
            (difference.map_or_else(|| name.to_string(), |d| format!("{name} ({d})")), outcome)
        }
    };
    measured("access point name", wanted.into(), said, outcome)
}

pub(super) fn address(case: Option<&Case>) -> Measured {
    let there = case.is_some_and(|c| {
        c.sessions.addresses.values().filter_map(|h| h.latest()).any(|o| !o.value.is_empty())
    });
    let outcome = match case {
        _ if there => Outcome::Passed,
        Some(c) if !c.sessions.addresses.is_empty() => Outcome::Failed,
        _ => Outcome::Incomplete,
    };
    let said = if there { "there" } else { "none read" };
    measured("an address", "any".into(), said.into(), outcome)
}

pub(super) fn home(case: Option<&Case>) -> Measured {
    let states: Vec<u8> = case.map_or_else(Vec::new, |c| {
        c.registration.states.values().filter_map(|h| h.latest()).map(|o| o.value.stat).collect()
    });
    let (said, outcome) = match (states.contains(&5), states.contains(&1)) {
        (true, _) => ("registered, roaming", Outcome::Failed),
        (false, true) => ("registered at home", Outcome::Passed),
        (false, false) if states.is_empty() => ("not read", Outcome::Incomplete),
        (false, false) => ("not registered", Outcome::Incomplete),
    };
    measured("home network", "no roaming".into(), said.into(), outcome)
}

pub(super) fn begun(criterion: &str, wanted: f64, seen: Option<Begun>) -> Measured {
    let wish = format!("within {wanted} s");
    match seen {
        None | Some(Begun::NotSeen) => {
            measured(criterion, wish, "none with times in the dialogue".into(), Outcome::Incomplete)
        }
        Some(Begun::Never) => {
            measured(criterion, wish, "not registered within the dialogue".into(), Outcome::Failed)
        }
        Some(Begun::After(seconds)) => {
            let outcome = if seconds <= wanted { Outcome::Passed } else { Outcome::Failed };
            let once =
                Figure { value: seconds, low: seconds, high: seconds, more_is_better: false };
            let said = format!("{seconds:.1} s");
            Measured { figure: Some(once), ..measured(criterion, wish, said, outcome) }
        }
    }
}
