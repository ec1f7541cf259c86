//! Whether the modem is connected, and its state in words.

use super::Judged;
use crate::case::Domain;
use crate::case::{Case, Evidence};
use crate::rules::{
    Certainty, Site, bearer_up, circuit_registered, data_registered, fell_silent, opening_failed,
    registration_status, service_for_data, session_lost,
};

/// The healthy verdict: how sure, its sentence, the lines that show it.
pub(super) fn connected(site: &Site<'_>) -> Option<(Certainty, String, Vec<Evidence>)> {
    let case = site.case;
    // What the modem said before it was lost is no state of now.
    if fell_silent(case).is_some() {
        return None;
    }
    let registered = data_registered(case);
    if let Some(bearer) = bearer_up(case) {
        let certainty = if registered.is_some() { Certainty::Certain } else { Certainty::Likely };
        let evidence = registered.into_iter().chain([bearer]).collect();
        return Some((
            certainty,
            "The modem is connected: on the network, with a data session open.".into(),
            evidence,
        ));
    }
    // EPS and 5G register with a session at once; 2G and 3G do not.
    let with_session = [Domain::Eps, Domain::FiveG]
        .iter()
        .filter_map(|d| case.stat(*d))
        .find(|o| o.value.is_registered());
    let since = match with_session {
        Some(o) => o.order,
        None => service_for_data(case)?.order,
    };
    let closed = case.sessions.active.values().any(|h| h.latest().is_some())
        || case.sessions.addresses.values().any(|h| h.latest().is_some());
    let failed = case.sessions.no_carrier.latest().is_some_and(|o| o.order > since);
    let released = case.sessions.released.latest().is_some_and(|o| o.value && o.order > since);
    let detached = case.registration.attached.latest().is_some_and(|o| !o.value);
    let refused = opening_failed(case).is_some()
        || session_lost(case).is_some_and(|(order, _)| order > since);
    (!closed && !failed && !released && !detached && !refused).then(|| {
        (
            Certainty::Likely,
            "The modem is registered for data, which on LTE opens a session at once.".into(),
            registered.into_iter().collect(),
        )
    })
}

/// The state of the modem in a few words.
pub(super) fn state(site: &Site<'_>) -> String {
    if bearer_up(site).is_some() {
        return "data session open".into();
    }
    site.registration_status()
        .map_or_else(|| "no registration in the text".into(), |(_, evidence)| evidence.says.into())
}

/// The sentence for a text that is not enough.
pub(super) fn unclear(case: &Case, judged: &[Judged]) -> String {
    if case.is_empty() && case.dialogue.answered == 0 {
        return "The text has no response of a modem.".into();
    }
    if let Some(possible) = judged.iter().find(|j| j.certainty() == Some(Certainty::Possible)) {
        return format!(
            "The text is not enough. What was read would fit this, among other causes: {}",
            possible.summary()
        );
    }
    match (data_registered(case), circuit_registered(case), registration_status(case)) {
        (Some(_), _, _) => "The modem is registered for data; whether a session is open is not in the text.".into(),
        (None, Some(_), _) => {
            "The modem is on the network for voice and messages; whether it may send data is not in the text.".into()
        }
        (None, None, Some((_, evidence))) => format!("The text is not enough to name the cause. Known so far: {}.", evidence.says),
        (None, None, None) => "The text does not say whether the modem is registered.".into(),
    }
}
