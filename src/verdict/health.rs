//! Whether the modem is connected, and its state in words.

use super::Judged;
use crate::case::{Case, Domain, Evidence, Observation, Quantity, ReportedBy, Sim};
use crate::rules::{
    Certainty, RegistrationStatus, Site, bearer_up, circuit_registered, covers_only,
    data_registered, fell_silent, opening_failed, registration_status, service_for_data,
    session_lost,
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
        if ended_after(case, &bearer) {
            return None;
        }
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
        .into_iter()
        .find(|d| case.stat(*d).is_some_and(|o| o.value.is_registered()));
    let since = match with_session {
        Some(domain) => registered_since(case, domain),
        None => service_for_data(case)?.order,
    };
    let closed = case.sessions.active.values().any(|h| h.latest().is_some())
        || case.sessions.addresses.values().any(|h| h.latest().is_some());
    let dial = case.exchanges.failures.latest().filter(|o| is_data_dial(&o.value.command));
    let failed =
        hung_up(case).is_some_and(|o| o.order > since) || dial.is_some_and(|o| o.order > since);
    let released = case.sessions.released.latest().is_some_and(|o| o.value && o.order > since);
    let detached = case.registration.attached.latest().is_some_and(|o| !o.value);
    let refused = opening_failed(case).is_some()
        || session_refused(case, since)
        || session_lost(case).is_some_and(|(order, _)| order > since);
    (!closed && !failed && !released && !detached && !refused).then(|| {
        (
            Certainty::Likely,
            "The modem is registered for data, which on LTE opens a session at once.".into(),
            registered.into_iter().collect(),
        )
    })
}

/// The order from which on a domain has been registered without a break; 0 where no other state was read before. A
/// session that failed since then was not for want of registration, and reading the state again is no new registration.
fn registered_since(case: &Case, domain: Domain) -> usize {
    let states = case.registration.states.of(domain).current();
    let broken = states.iter().rposition(|o| !o.value.is_registered());
    broken.and_then(|at| states.get(at + 1)).map_or(0, |o| o.order)
}

/// Whether a log tells that a session was refused after the registration; a modem's own report of its last failure may be
/// older.
fn session_refused(case: &Case, since: usize) -> bool {
    let rejects = case.registration.rejects.current().iter().rev();
    let mut logged = rejects.filter(|o| o.value.kind.is_session() && o.by != ReportedBy::Modem);
    // A log that tells of a refusal, and of no session since, shows none open, wherever it tells of the registration.
    logged.any(|o| o.by == ReportedBy::Host || o.order > since)
}

/// Whether the data session that `bearer` shows was over later: a dial that ended without a connection, or a link that
/// failed, and none that came up since.
fn ended_after(case: &Case, bearer: &Evidence) -> bool {
    let sessions = &case.sessions;
    let up_since = |order: usize| {
        let well = sessions.opening.latest().is_some_and(|o| o.value && o.order > order);
        well || sessions.connected.latest().is_some_and(|o| o.order > order)
    };
    let hung_up = hung_up(case).filter(|o| !up_since(o.order)).map(|o| o.span);
    let dial = case.exchanges.failures.latest().filter(|o| is_data_dial(&o.value.command));
    let dial = dial.filter(|o| !up_since(o.order)).map(|o| o.span);
    let link = session_lost(case).map(|(_, evidence)| evidence.span);
    [hung_up, dial, link].into_iter().flatten().any(|end| end.start > bearer.span.start)
}

/// Commands that open a connection over the modem's own stack; vendors' own, common practice, no source.
const SOCKETS: [&str; 7] =
    ["#SD=", "#SO=", "+QIOPEN=", "+CIPSTART=", "+CIPOPEN=", "+KTCPSTART=", "+USOCO="];

/// The last data call that ended with `NO CARRIER`; one for voice says nothing of data.
fn hung_up(case: &Case) -> Option<&Observation<()>> {
    let mut dials = case.dialogue.commands().filter(|c| c.starts_with('D')).peekable();
    // `ATO` goes back to a data call; where there is none, it ends in the same words. So does a socket of the modem's.
    let back = case.dialogue.has_sent("O") || case.dialogue.has_sent("O0");
    let socket =
        || SOCKETS.iter().any(|name| case.dialogue.commands().any(|c| c.starts_with(name)));
    let data = dials.peek().is_none() && !back && !socket() || dials.any(is_data_dial);
    case.sessions.no_carrier.latest().filter(|_| data)
}

/// Whether a command, without `AT`, dials for data (TS 27.007 §10.2.1).
fn is_data_dial(command: &str) -> bool {
    command.starts_with("D*9") || command.starts_with("DT*9") || command.starts_with("+CGDATA")
}

/// The state of the modem in a few words.
pub(super) fn state(site: &Site<'_>) -> String {
    if let Some(bearer) = bearer_up(site) {
        let over = ended_after(site, &bearer);
        return if over { "data session ended" } else { "data session open" }.into();
    }
    site.registration_status()
        .map_or_else(|| "no registration in the text".into(), |(_, evidence)| evidence.says.into())
}

/// The sentence for a text that is not enough: what it shows, and what is missing.
pub(super) fn unclear(case: &Case, judged: &[Judged]) -> String {
    if case.is_empty() && case.dialogue.answered == 0 {
        return match case.dialogue.commands().next() {
            Some(_) => "The text shows commands and no response that could be read.".into(),
            None => "The text has no response of a modem.".into(),
        };
    }
    let mut facts = known(case);
    let waits = registration_status(case)
        .is_some_and(|(status, _)| status != RegistrationStatus::Registered);
    if let Some(span) = covers_only(case).filter(|_| waits) {
        facts.push(format!(
            "the text covers only {span}, and a first search takes minutes: send what comes after it"
        ));
    }
    if let Some(possible) = judged.iter().find(|j| j.certainty() == Some(Certainty::Possible)) {
        facts.retain(|fact| !possible.summary().contains(fact.as_str()));
        return with_facts(
            &format!("What was read would fit this, among other causes: {}", possible.summary()),
            &facts,
        );
    }
    let registered = data_registered(case);
    let words = if bearer_up(case).is_some_and(|bearer| ended_after(case, &bearer)) {
        "A data session was open, and the connection over it ended; why is not in the text."
    } else if registered.is_some() {
        "The modem is registered for data; whether a session is open is not in the text."
    } else if circuit_registered(case).is_some() {
        "The modem is on the network for voice and messages; whether it may send data is not in the text."
    } else if let Some((_, evidence)) = registration_status(case) {
        facts.insert(0, evidence.says.into());
        "The text shows a state and not its cause."
    } else {
        "The text does not say whether the modem is registered."
    };
    with_facts(words, &facts)
}

/// So many facts stand behind the sentence.
const MOST: usize = 3;

fn with_facts(words: &str, facts: &[String]) -> String {
    match &facts[..facts.len().min(MOST)] {
        [] => words.to_owned(),
        facts => format!("{words} Known so far: {}.", facts.join("; ")),
    }
}

/// What bears on service and was read: what was refused first, then what is not there, then what is good.
fn known(case: &Case) -> Vec<String> {
    let mut facts: Vec<String> = refused(case).map(Into::into).into_iter().collect();
    facts.extend(case.dialogue.not_kept.iter().map(|kept| {
        format!("`{}` was set to {} and reads {} afterwards", kept.setting, kept.set, kept.read)
    }));
    let mut fact = |holds: bool, words: &str| {
        if holds {
            facts.push(words.to_owned());
        }
    };
    fact(hung_up(case).is_some(), "a dial ended without a connection (`NO CARRIER`)");
    let attached = case.registration.attached.latest();
    fact(attached.is_some_and(|o| !o.value), "the modem is not attached for data");
    let mut active = case.sessions.active.values().filter_map(|h| h.latest()).peekable();
    fact(active.peek().is_some() && active.all(|o| !o.value), "no data session is open");
    let card = case.card.state.latest();
    if card.is_some_and(|o| o.value == Sim::Ready) {
        let before = case.card.state.all().iter().any(|o| {
            matches!(o.value, Sim::NotInserted | Sim::Failure | Sim::PinRequired | Sim::PukRequired)
        });
        fact(
            true,
            if before { "the SIM is ready now, and was not before" } else { "the SIM is ready" },
        );
    }
    let heard = [Quantity::Rsrp, Quantity::Rscp, Quantity::Rssi, Quantity::Rxlev]
        .into_iter()
        .any(|q| case.level(q).is_some_and(|(value, _)| value.is_some()));
    fact(heard, "a signal level was measured");
    let operator = case.registration.operator.latest();
    fact(operator.is_some_and(|o| o.value.name.is_some()), "the modem names a network");
    facts
}

/// The last refused command that bears on service, in words, unless the text shows it done later.
fn refused(case: &Case) -> Option<&'static str> {
    let failures = case.exchanges.failures.current();
    failures.iter().rev().find_map(|o| {
        let starts = |start: &str| {
            o.value.command.get(..start.len()).is_some_and(|c| c.eq_ignore_ascii_case(start))
        };
        let sessions = &case.sessions;
        let opened = || sessions.opening.latest().is_some_and(|w| w.value && w.order > o.order);
        let ready = || {
            let state = case.card.state.latest();
            state.is_some_and(|s| s.value == Sim::Ready && s.order > o.order)
        };
        let attached =
            || case.registration.attached.latest().is_some_and(|a| a.value && a.order > o.order);
        let chosen = || case.registration.operator.latest().is_some_and(|n| n.order > o.order);
        let set = || case.device.functionality.latest().is_some_and(|f| f.order > o.order);
        if starts("+CFUN=1") && !set() {
            Some("the modem refused to switch its radio on (`AT+CFUN=1`)")
        } else if starts("+CPIN=") && !ready() {
            Some("the entry of the SIM's PIN was refused (`AT+CPIN`)")
        } else if starts("+CPIN?") && !ready() {
            Some("the state of the SIM could not be read (`AT+CPIN?`)")
        } else if starts("+CGATT=1") && !attached() {
            Some("attaching for data was refused (`AT+CGATT=1`)")
        } else if starts("+COPS=") && !starts("+COPS=?") && !chosen() {
            Some("the choice of a network was refused (`AT+COPS`)")
        } else if starts("+CGDCONT=") {
            Some("the setting of a data connection was refused (`AT+CGDCONT`)")
        } else if (starts("+CGACT=1") || is_data_dial(&o.value.command)) && !opened() {
            Some("opening a data session was refused")
        } else if starts("+CIMI") && !ready() {
            Some("the number of the SIM could not be read (`AT+CIMI`)")
        } else {
            None
        }
    })
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::verdict::{Verdict, explain};

    fn verdict(text: &str) -> Verdict {
        explain(&Case::read(&Capture::new(text)))
    }

    #[test]
    fn a_hang_up_after_the_session_is_no_connection() {
        let up = "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK\n";
        assert_eq!(verdict(up).id(), "connected");
        let hung_up = verdict(&format!("{up}ATD*99#\nCONNECT\nNO CARRIER\n"));
        assert_ne!(hung_up.id(), "connected", "{}", hung_up.summary);
        let failed = verdict(&format!("{up}ATD*99#\nNO CARRIER\n"));
        assert_ne!(failed.id(), "connected", "{}", failed.summary);
        let again = verdict(&format!("ATD*99#\nNO CARRIER\n{up}"));
        assert_eq!(again.id(), "connected", "an earlier one is over");
        let call = verdict(&format!("{up}ATD5550100;\nNO CARRIER\n"));
        assert_eq!(call.id(), "connected", "a call for voice says nothing of data");
    }

    #[test]
    fn what_is_known_and_what_was_refused_is_said() {
        for (text, words) in [
            (
                "AT+CFUN=1\n+CME ERROR: 0\nAT+CPIN?\n+CPIN: READY\nOK\n",
                "refused to switch its radio on",
            ),
            ("AT+CPIN?\n+CPIN: READY\nOK\n", "Known so far: the SIM is ready."),
            ("AT+COPS=1,2,\"00101\"\nERROR\n", "choice of a network was refused"),
            ("AT+CREG?\n+CREG: 0,6\nOK\n", "a state and not its cause"),
        ] {
            let verdict = verdict(text);
            assert!(verdict.summary.contains(words), "{text}: {}", verdict.summary);
        }
        let mended = verdict("AT+CPIN=\"0000\"\nERROR\nAT+CPIN?\n+CPIN: READY\nOK\n");
        assert!(!mended.summary.contains("refused"), "{}", mended.summary);
    }
}
