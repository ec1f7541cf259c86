//! What the value of a pair says of the subject that its key names.
//!
//! Common practice, no source: the words that pages and programs print.

use crate::reference::status_words::{
    CardState, RadioState, RegistrationState, SessionState, State,
};

/// Yes or no, in the words of pages and programs.
pub(super) fn yes_or_no(value: &str) -> Option<bool> {
    match value.to_ascii_lowercase().as_str() {
        "yes" | "true" | "y" | "on" | "enabled" | "enable" => Some(true),
        "no" | "false" | "n" | "off" | "disabled" | "disable" => Some(false),
        _ => None,
    }
}

/// The value as words in lower case, what stands in brackets behind it left out.
pub(super) fn plain(value: &str) -> String {
    let value = value.split('(').next().unwrap_or(value);
    value
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect::<Vec<_>>()
        .join(" ")
}

pub(super) fn card(value: &str, stated: Option<bool>) -> Option<CardState> {
    let words = plain(value);
    let words = words.strip_prefix("sim ").unwrap_or(&words);
    let stem =
        |list: &[&str]| list.iter().any(|w| words == *w || words.starts_with(&format!("{w} ")));
    Some(match words {
        _ if stem(&["inserted ready", "present ready"]) => CardState::Ready,
        _ if stem(&["ready", "ok"])
            && words.split(' ').nth(1).is_some_and(|w| w.bytes().all(|b| b.is_ascii_digit())) =>
        {
            CardState::Ready
        }
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

pub(super) fn registration(
    value: &str,
    stated: Option<bool>,
    key: &[String],
) -> Option<RegistrationState> {
    use RegistrationState as R;
    let words = plain(value);
    // The number of the registration state (TS 27.007 §7.2).
    let numbered = key.iter().any(|t| t.starts_with("reg") || t.ends_with("reg"));
    match words.as_str() {
        _ if !numbered => {}
        "0" => return Some(R::Detached),
        "1" => return Some(R::RegisteredHome),
        "2" => return Some(R::Searching),
        "3" => return Some(R::Denied),
        "5" => return Some(R::RegisteredRoaming),
        _ => {}
    }
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

/// The service of a page: what is looked for or had, in words alone.
pub(super) fn service(value: &str) -> Option<RegistrationState> {
    use RegistrationState as R;
    let words = plain(value);
    let first = words.split(' ').next().unwrap_or("");
    match first {
        "searching" => Some(R::Searching),
        "none" if words == "none" => Some(R::NoService),
        "limited" => Some(R::LimitedService),
        "emergency" => Some(R::EmergencyOnly),
        _ if words == "no service" => Some(R::NoService),
        _ => None,
    }
}

pub(super) fn radio(value: &str, stated: Option<bool>) -> Option<bool> {
    stated.or_else(|| match plain(value).as_str() {
        "online" | "up" | "powered" | "powered on" | "full" | "radio on" => Some(true),
        "offline" | "down" | "powered off" | "low power" | "low power mode" | "flight mode"
        | "airplane mode" | "radio off" | "unavailable" | "killed" | "blocked" => Some(false),
        _ => None,
    })
}

/// The states of a modem as a whole that have one meaning.
pub(super) fn modem(value: &str) -> Option<State> {
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
        "sim pin" | "pin required" => State::Card(CardState::PinRequired),
        "sim puk" | "puk required" => State::Card(CardState::PukRequired),
        _ => return None,
    })
}

pub(super) fn session(value: &str, stated: Option<bool>) -> Option<SessionState> {
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
