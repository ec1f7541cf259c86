//! What a key speaks of, and what its value says of that subject.
//!
//! Common practice, no source: the keys are the nouns of the trade with `state`, `status` and the like behind them;
//! phrases with a source stand in the vocabulary.

use super::key_value::Pair;
use super::phrase;
use crate::reference::status_words::{
    self, CardState, RadioState, RegistrationState, SessionState, State, StatusWord,
};

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
        let code = ["SIM PIN", "SIM PUK"].iter().any(|code| value == *code);
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
    let system = [
        "lte", "gsm", "umts", "gprs", "eps", "nr", "fivegs", "5gs", "5g", "cs", "ps", "modem",
        "module",
    ];
    (system.contains(&last)
        && key.iter().all(|t| FILLER.contains(&t.as_str()) || system.contains(&t.as_str())))
    .then_some(Of::System)
}

/// Yes or no, in the words of pages and programs.
fn yes_or_no(value: &str) -> Option<bool> {
    match value.to_ascii_lowercase().as_str() {
        "yes" | "true" | "y" | "on" | "enabled" | "enable" => Some(true),
        "no" | "false" | "n" | "off" | "disabled" | "disable" => Some(false),
        _ => None,
    }
}

/// The value as words in lower case, what stands in brackets behind it left out.
fn plain(value: &str) -> String {
    let value = value.split('(').next().unwrap_or(value);
    value
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect::<Vec<_>>()
        .join(" ")
}

fn card(value: &str, stated: Option<bool>) -> Option<CardState> {
    let words = plain(value);
    Some(match words.strip_prefix("sim ").unwrap_or(&words) {
        "absent" | "not inserted" | "not detected" | "not present" | "not found" | "no sim"
        | "no sim card" | "no card" | "missing" | "removed" | "none" | "not available"
        | "unplugged" => CardState::Absent,
        "inserted" | "present" | "detected" | "found" => CardState::Present,
        "ready" | "ok" | "loaded" | "unlocked" | "valid" | "active" | "initialized"
        | "initialised" => CardState::Ready,
        "busy" | "initializing" | "initialising" | "not ready" | "starting" => CardState::Busy,
        "error" | "failure" | "fault" | "faulty" | "bad" | "invalid" | "unreadable" | "failed" => {
            CardState::Failure
        }
        "pin required" | "pin locked" | "locked" | "pin" | "need pin" | "pin needed"
        | "waiting for pin" | "enter pin" | "pin1 required" => CardState::PinRequired,
        "puk required" | "puk locked" | "puk" | "need puk" | "puk needed" | "blocked"
        | "enter puk" => CardState::PukRequired,
        "no profile"
        | "no profile enabled"
        | "no enabled profile"
        | "no active profile"
        | "profile not enabled"
        | "profile disabled"
        | "empty euicc" => CardState::NoProfile,
        _ if stated? => CardState::Present,
        _ => CardState::Absent,
    })
}

fn registration(value: &str, stated: Option<bool>, key: &[String]) -> Option<RegistrationState> {
    use RegistrationState as R;
    let words = plain(value);
    let first = words.strip_prefix("is ").unwrap_or(&words);
    let roams = value.to_ascii_lowercase().contains("roam")
        && !value.to_ascii_lowercase().contains("not roam");
    let starts = |phrases: &[&str]| {
        phrases.iter().any(|p| first == *p || first.starts_with(&format!("{p} ")))
    };
    let attach = key.iter().any(|t| t.starts_with("attach") || t == "ps");
    Some(if starts(&["denied", "registration denied", "refused", "rejected", "forbidden"]) {
        R::Denied
    } else if first.contains("not searching") {
        R::NotSearching
    } else if first.contains("searching")
        || starts(&["registering", "attaching", "search", "trying"])
    {
        R::Searching
    } else if starts(&[
        "not registered",
        "unregistered",
        "deregistered",
        "not attached",
        "detached",
    ]) {
        R::Detached
    } else if starts(&["no service", "out of service", "no network", "no signal"]) {
        R::NoService
    } else if starts(&["limited", "limited service"]) {
        R::LimitedService
    } else if starts(&["emergency"]) {
        R::EmergencyOnly
    } else if starts(&[
        "registered",
        "home",
        "roaming",
        "attached",
        "registred",
        "camped",
        "connected home",
    ]) {
        match roams {
            true => R::RegisteredRoaming,
            false if first.contains("home") => R::RegisteredHome,
            false if attach && first.starts_with("attached") => R::Attached,
            false => R::Registered,
        }
    } else {
        match stated? {
            true if attach => R::Attached,
            true => R::Registered,
            false => R::Detached,
        }
    })
}

fn radio(value: &str, stated: Option<bool>) -> Option<bool> {
    stated.or_else(|| match plain(value).as_str() {
        "online" | "up" | "powered" | "powered on" | "full" | "radio on" => Some(true),
        "offline" | "down" | "powered off" | "low power" | "low power mode" | "flight mode"
        | "airplane mode" | "radio off" | "unavailable" | "killed" | "blocked" => Some(false),
        _ => None,
    })
}

/// The states of a modem as a whole that have one meaning.
fn modem(value: &str) -> Option<State> {
    use RegistrationState as R;
    Some(match plain(value).as_str() {
        "searching" | "registering" => State::Registration(R::Searching),
        "denied" | "registration denied" => State::Registration(R::Denied),
        "registered" => State::Registration(R::Registered),
        "not registered" => State::Registration(R::Detached),
        "connected" => State::Session(SessionState::Active),
        "low power" | "low power mode" | "flight mode" | "airplane mode" | "radio off"
        | "disabled" => State::Radio(RadioState::Off),
        "sim absent" | "no sim" | "sim missing" => State::Card(CardState::Absent),
        _ => return None,
    })
}

fn session(value: &str, stated: Option<bool>) -> Option<SessionState> {
    Some(match plain(value).as_str() {
        "connected" | "active" | "activated" | "up" | "open" | "established" => {
            SessionState::Active
        }
        "disconnected" | "inactive" | "deactivated" | "down" | "closed" | "not connected"
        | "not active" => SessionState::Inactive,
        "connecting" | "activating" => SessionState::Activating,
        _ if stated? => SessionState::Active,
        _ => SessionState::Inactive,
    })
}

#[cfg(test)]
mod tests {
    use super::super::key_value::pairs;
    use super::*;

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
