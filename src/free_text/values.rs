//! What the value of a pair says of the subject that its key names.

use crate::reference::status_words::{self, Of, RegistrationState, State};

/// Yes or no, in the words of pages and programs.
pub(super) fn yes_or_no(value: &str) -> Option<bool> {
    match value.to_lowercase().as_str() {
        "yes" | "true" | "y" | "on" | "enabled" | "enable" | "ja" | "ein" | "oui" | "sí" => {
            Some(true)
        }
        "no" | "false" | "n" | "off" | "disabled" | "disable" | "nein" | "aus" | "non" => {
            Some(false)
        }
        _ => None,
    }
}

/// The value as words in small letters, what stands in brackets behind it left out.
fn plain(value: &str) -> String {
    let value = value.split('(').next().unwrap_or(value).to_lowercase();
    let words: Vec<_> =
        value.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    words.join(" ")
}

/// What a value says of the subject, in the words of the table.
pub(super) fn of(of: Of, value: &str) -> Option<State> {
    let words = plain(value);
    let words = match of {
        Of::Card => words.strip_prefix("sim ").unwrap_or(&words),
        _ => words.strip_prefix("is ").unwrap_or(&words),
    };
    let state = status_words::value(of, words)?;
    let lower = value.to_lowercase();
    Some(match state {
        State::Registration(RegistrationState::Registered)
            if ["roam", "itin"].iter().any(|w| lower.contains(w))
                && !lower.contains("not roam") =>
        {
            State::Registration(RegistrationState::RegisteredRoaming)
        }
        State::Registration(RegistrationState::Registered)
            if ["home", "heimnetz"].iter().any(|w| lower.contains(w)) =>
        {
            State::Registration(RegistrationState::RegisteredHome)
        }
        state => state,
    })
}

/// What the value behind a key of registration says; `key` has the words of the key.
pub(super) fn registration(value: &str, key: &[String]) -> Option<RegistrationState> {
    use RegistrationState as R;
    // The number of the registration state (TS 27.007 §7.2).
    let numbered = key.iter().any(|t| t.starts_with("reg") || t.ends_with("reg"));
    match plain(value).as_str() {
        _ if !numbered => {}
        "0" => return Some(R::Detached),
        "1" => return Some(R::RegisteredHome),
        "2" => return Some(R::Searching),
        "3" => return Some(R::Denied),
        "5" => return Some(R::RegisteredRoaming),
        _ => {}
    }
    let attach = key.iter().any(|t| t.starts_with("attach") || t == "ps");
    let Some(State::Registration(state)) = of(Of::Registration, value) else {
        let state = |on| if on { R::Registered } else { R::Detached };
        return yes_or_no(value).map(|on| attached(state(on), attach));
    };
    let said = plain(value).starts_with("attached");
    Some(attached(state, attach && said))
}

/// A key of attaching says of a registered modem that it is attached.
fn attached(state: RegistrationState, attach: bool) -> RegistrationState {
    match state {
        RegistrationState::Registered if attach => RegistrationState::Attached,
        state => state,
    }
}
