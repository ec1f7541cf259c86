//! What a key speaks of, and what its value says of that subject.
//!
//! Common practice, no source: the keys are the nouns of the trade with `state`, `status` and the like behind them;
//! phrases with a source stand in the vocabulary.

use super::key_value::Pair;
use super::phrase;
use super::values::{card, modem, radio, registration, service, session, yes_or_no};
use crate::reference::status_words::{self, CardState, LockState, RadioState, State, StatusWord};

/// What a pair says, where its key names a subject of this program.
pub(super) fn read(pair: Pair<'_>) -> Option<State> {
    let known = status_words::behind(pair.key, pair.value).next();
    if let Some(word) = known {
        return Some(word.state).filter(|state| says_something(*state));
    }
    let key = tokens(pair.key);
    let has = |words: &[&str]| key.iter().any(|token| words.contains(&token.as_str()));
    if has(&[
        "wifi",
        "wlan",
        "bluetooth",
        "ethernet",
        "vpn",
        "gps",
        "gnss",
        "mqtt",
        "server",
        "wan",
    ]) {
        return None;
    }
    let value = pair.value.trim_end_matches(['!', '.']);
    let Some(subject) = subject(&key) else {
        // A code of `+CPIN` (TS 27.007 §8.3) behind a key of any name.
        let code = ["SIM PIN", "SIM PUK"].contains(&value);
        let state = key.last().is_some_and(|k| matches!(k.as_str(), "state" | "status" | "cpin"));
        return (code && state).then(|| {
            State::Card(if value == "SIM PIN" {
                CardState::PinRequired
            } else {
                CardState::PukRequired
            })
        });
    };
    let stated = yes_or_no(value);
    // `card: present - PH-NET PIN`: what the lock is behind the card's presence (TS 27.007 §8.3).
    if key.iter().any(|t| t == "card" || t == "sim")
        && status_words::key(value).contains("phnetpin")
    {
        return Some(State::Lock(LockState::Network));
    }
    // `card: ready`: the noun alone may be another card's, and counts with the words of a SIM only.
    if key == ["card"] {
        return card(value, None).filter(|_| stated.is_none()).map(State::Card);
    }
    if key == ["service"] {
        return service(value).map(State::Registration);
    }
    // A longer phrase of the vocabulary in the value, of the same subject.
    let phrase = || {
        let found = phrase::phrases(value);
        let words: Vec<&StatusWord> = found.iter().map(|f| f.word).collect();
        words.into_iter().map(|w| w.state).find(|state| of(subject, *state))
    };
    match subject {
        Of::Card => card(value, stated).map(State::Card).or_else(phrase),
        // A lock that is none says nothing of the card itself.
        Of::Lock => card(value, None)
            .filter(|state| matches!(state, CardState::PinRequired | CardState::PukRequired))
            .map(State::Card),
        // `lte: false` switches a technology; only words of a state say that the system is registered.
        Of::Registration if is_system(&key) && stated.is_some() => None,
        Of::Registration => {
            registration(value, stated, &key).map(State::Registration).or_else(phrase)
        }
        Of::System => registration(value, None, &key).map(State::Registration).or_else(phrase),
        Of::HardRadio => radio(value, stated)
            .map(|on| State::Radio(if on { RadioState::On } else { RadioState::OffByHardware })),
        Of::SoftRadio => radio(value, stated)
            .map(|on| State::Radio(if on { RadioState::On } else { RadioState::OffBySoftware })),
        Of::Radio => radio(value, stated)
            .map(|on| State::Radio(if on { RadioState::On } else { RadioState::Off })),
        Of::FlightMode => stated
            .map(|on| State::Radio(if on { RadioState::OffBySoftware } else { RadioState::On })),
        Of::Session => session(value, stated).map(State::Session).or_else(phrase),
        Of::Modem => modem(value),
    }
}

/// What keys speak of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Of {
    Card,
    Lock,
    Registration,
    HardRadio,
    SoftRadio,
    Radio,
    FlightMode,
    Session,
    /// A system's registration: `lte: registered`. Yes or no behind it may be a setting.
    System,
    /// The modem as a whole: the value says of what.
    Modem,
}

/// Whether a state is one of the subject.
fn of(subject: Of, state: State) -> bool {
    match subject {
        Of::Card | Of::Lock => matches!(state, State::Card(_) | State::Lock(_)),
        Of::Registration | Of::System => {
            matches!(state, State::Registration(_) | State::Cause(..))
        }
        Of::HardRadio | Of::SoftRadio | Of::Radio | Of::FlightMode => {
            matches!(state, State::Radio(_))
        }
        Of::Session => matches!(state, State::Session(_) | State::Link(_)),
        Of::Modem => true,
    }
}

const fn says_something(state: State) -> bool {
    !matches!(state, State::SaysNothing | State::Unknown)
}

/// The words of a key in lower case, runs of capitals and camel case parted.
fn tokens(key: &str) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut before = ' ';
    for c in key.chars() {
        if !c.is_alphanumeric() || before.is_ascii_lowercase() && c.is_ascii_uppercase() {
            out.push(String::new());
        }
        if c.is_alphanumeric() {
            out.last_mut().expect("it is never empty").extend(c.to_lowercase());
        }
        before = c;
    }
    out.retain(|token| !token.is_empty());
    out
}

fn subject(key: &[String]) -> Option<Of> {
    const STATE: [&str; 10] = [
        "state",
        "status",
        "stat",
        "info",
        "detected",
        "inserted",
        "present",
        "ready",
        "lock",
        "available",
    ];
    const FILLER: [&str; 16] = [
        "the", "my", "our", "current", "modem", "module", "device", "cellular", "mobile", "card",
        "lte", "gsm", "umts", "gprs", "network", "nw",
    ];
    let has = |words: &[&str]| key.iter().any(|token| words.contains(&token.as_str()));
    let last = key.last()?.as_str();
    let closes = |nouns: &[&str]| nouns.contains(&last) || STATE.contains(&last) && has(nouns);
    // `SIM operator`, `registered since`, `radio interface`: another thing of the same noun.
    if closes(&["sim", "simcard", "uicc", "usim", "euicc", "simstate", "simstatus"])
        || last == "card" && has(&["sim"])
        || STATE.contains(&last) && has(&["card"]) && !has(&["network", "sd", "memory", "sound"])
    {
        return Some(Of::Card);
    }
    if last == "lock" {
        return Some(Of::Lock);
    }
    if has(&["airplane", "flight", "aeroplane"]) && (last == "mode" || STATE.contains(&last)) {
        return Some(Of::FlightMode);
    }
    if has(&["radio", "rf"])
        && (STATE.contains(&last) || matches!(last, "radio" | "power"))
        && !has(&["interface", "access"])
    {
        return Some(match () {
            () if has(&["hardware", "hw"]) => Of::HardRadio,
            () if has(&["software", "sw"]) => Of::SoftRadio,
            () => Of::Radio,
        });
    }
    let registers = [
        "registration",
        "registered",
        "register",
        "reg",
        "regstatus",
        "regstate",
        "registrationstate",
        "creg",
        "attach",
        "attached",
    ];
    if closes(&registers)
        || STATE.contains(&last)
            && has(&["network", "service", "nw", "ps"])
            && !has(&["interface", "connection"])
    {
        return Some(Of::Registration);
    }
    if closes(&[
        "session",
        "bearer",
        "pdp",
        "pdn",
        "connection",
        "data",
        "context",
        "connected",
        "activation",
    ]) {
        return Some(Of::Session);
    }
    let modem = ["modem", "module", "wwan", "device", "cellular", "mobile"];
    if matches!(last, "state" | "status")
        && key[..key.len() - 1]
            .iter()
            .all(|t| modem.contains(&t.as_str()) || t == "current" || t == "the")
    {
        return Some(Of::Modem);
    }
    // `GSM is registered`: the system itself is the subject.
    (SYSTEMS.contains(&last)
        && key.iter().all(|t| FILLER.contains(&t.as_str()) || SYSTEMS.contains(&t.as_str())))
    .then_some(Of::System)
}

/// What registers: the systems, their domains, the modem itself.
const SYSTEMS: [&str; 13] = [
    "lte", "gsm", "umts", "gprs", "eps", "nr", "fivegs", "5gs", "5g", "cs", "ps", "modem", "module",
];

/// Whether a key names a system alone: `lte`, `the modem`.
fn is_system(key: &[String]) -> bool {
    key.last().is_some_and(|last| SYSTEMS.contains(&last.as_str()))
}

#[cfg(test)]
mod tests {
    use super::super::key_value::pairs;
    use super::*;
    use crate::reference::status_words::{RegistrationState, SessionState};

    fn states(line: &str) -> Vec<State> {
        pairs(line).into_iter().filter_map(read).collect()
    }

    #[test]
    fn a_key_names_the_subject_and_a_value_its_state() {
        for (line, state) in [
            ("SIM status: absent", State::Card(CardState::Absent)),
            ("sim_inserted: no", State::Card(CardState::Absent)),
            ("SIM card state = PUK required (0 left)", State::Card(CardState::PukRequired)),
            (
                "Registration: Registered (Roaming)",
                State::Registration(RegistrationState::RegisteredRoaming),
            ),
            (
                "LTE registration status : not registered, no search",
                State::Registration(RegistrationState::Detached),
            ),
            ("attach state: 02 - attached", State::Registration(RegistrationState::Attached)),
            ("Hardware radio state : Off", State::Radio(RadioState::OffByHardware)),
            ("airplane mode = on", State::Radio(RadioState::OffBySoftware)),
            ("connection status: disconnected", State::Session(SessionState::Inactive)),
            ("application state = pin1-or-upin-pin-required", State::Card(CardState::PinRequired)),
        ] {
            assert_eq!(states(line), [state], "{line}");
        }
    }

    #[test]
    fn other_things_of_the_same_noun_say_nothing() {
        for line in [
            "SIM operator: none",
            "SIM ICC Id: none",
            "SD card: not present",
            "network interface: down",
            "wifi status: disconnected",
            "radio interface: lte",
            "service: ssh",
            "registered since: no",
        ] {
            assert_eq!(states(line), [], "{line}");
        }
    }
}
