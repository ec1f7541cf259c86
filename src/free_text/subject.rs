//! What a key speaks of, and what its value says of that subject.
//!
//! Common practice, no source: the keys are the nouns of the trade with `state`, `status` and the like behind them;
//! phrases with a source stand in the vocabulary.

use super::key_value::Pair;
use super::phrase;
use super::values::{self, yes_or_no};
use crate::reference::status_words::{
    self, CardState, LockState, Of, RadioState, SessionState, State,
};
use crate::reference::word_lists::{List, words_of};

/// What a pair says, where its key names a subject of this program.
pub(super) fn read(pair: Pair<'_>) -> Option<State> {
    let known = status_words::behind(pair.key, pair.value).next();
    if let Some(word) = known {
        return Some(word.state).filter(|state| says_something(*state));
    }
    let key = tokens(pair.key);
    if key.iter().any(|token| words_of(List::KeyElsewhere).contains(&token.as_str())) {
        return None;
    }
    let value = pair.value.trim_end_matches(['!', '.']);
    let locks = |token: &String| words_of(List::KeyLock).contains(&token.as_str());
    if let Some(lock) = personalisation(value).filter(|_| key.iter().any(locks)) {
        return Some(State::Lock(lock));
    }
    if let Some(code) = wanted_code(value).filter(|_| key.iter().any(locks)) {
        return Some(State::Card(code));
    }
    // `card: ready`: the noun alone may be another card's, and counts with the words of a SIM only.
    if key == ["card"] {
        return values::of(Of::Card, value);
    }
    if key == ["service"] {
        return values::of(Of::Service, value);
    }
    let subject = subject(&key)?;
    let stated = yes_or_no(value);
    let switched = |on: fn(bool) -> State| stated.map(on);
    let radio = |off: RadioState| {
        let said = values::of(Of::Radio, value).map(|state| state == State::Radio(RadioState::On));
        let on = stated.or(said)?;
        Some(State::Radio(if on { RadioState::On } else { off }))
    };
    let registration = || values::registration(value, &key).map(State::Registration);
    let said = match subject {
        On::Card => values::of(Of::Card, value).or_else(|| {
            switched(|on| State::Card(if on { CardState::Present } else { CardState::Absent }))
        }),
        // A lock that is none says nothing of the card itself.
        On::Lock => values::of(Of::Card, value).filter(|state| {
            matches!(state, State::Card(CardState::PinRequired | CardState::PukRequired))
        }),
        // `lte: false` switches a technology; only words of a state say that the system is registered.
        On::System if stated.is_some() => None,
        On::Registration | On::System => registration(),
        On::HardRadio => radio(RadioState::OffByHardware),
        On::SoftRadio => radio(RadioState::OffBySoftware),
        On::Radio => radio(RadioState::Off),
        On::FlightMode => {
            switched(|on| State::Radio(if on { RadioState::OffBySoftware } else { RadioState::On }))
        }
        On::Session => values::of(Of::Session, value).or_else(|| {
            switched(|on| {
                State::Session(if on { SessionState::Active } else { SessionState::Inactive })
            })
        }),
        On::Modem => values::of(Of::Modem, value),
    };
    // A longer phrase of the vocabulary in the value, of the same subject.
    let phrase = || {
        let mut found = phrase::phrases(value).into_iter().map(|f| f.word.state);
        found.find(|state| of(subject, *state))
    };
    said.or_else(phrase)
}

/// The lock whose code a value asks for: `card: present - PH-NET PIN` (TS 27.007 §8.3).
fn personalisation(value: &str) -> Option<LockState> {
    let value = status_words::key(value);
    let codes = |locks: &[&str]| {
        locks
            .iter()
            .any(|lock| ["pin", "puk"].iter().any(|c| value.contains(&format!("{lock}{c}"))))
    };
    if codes(&["phnet", "phnetsub", "phsp", "phcorp"]) {
        Some(LockState::Network)
    } else {
        codes(&["phsim", "phfsim"]).then_some(LockState::CardToDevice)
    }
}

/// The code of the card that a value asks for, in any spelling of `SIM PIN` and `SIM PUK` (TS 27.007 §8.3).
fn wanted_code(value: &str) -> Option<CardState> {
    match status_words::key(value).as_str() {
        "simpin" => Some(CardState::PinRequired),
        "simpuk" => Some(CardState::PukRequired),
        _ => None,
    }
}

/// What keys speak of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum On {
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
fn of(subject: On, state: State) -> bool {
    match subject {
        On::Card | On::Lock => matches!(state, State::Card(_) | State::Lock(_)),
        On::Registration | On::System => {
            matches!(state, State::Registration(_) | State::Cause(..))
        }
        On::HardRadio | On::SoftRadio | On::Radio | On::FlightMode => {
            matches!(state, State::Radio(_))
        }
        On::Session => matches!(state, State::Session(_) | State::Link(_)),
        On::Modem => false,
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

/// What a key speaks of: its nouns, with a word of state behind them or, in other languages, before.
fn subject(key: &[String]) -> Option<On> {
    let has = |words: &[&str]| key.iter().any(|token| words.contains(&token.as_str()));
    let among = |list| has(words_of(list));
    let last = key.last()?.as_str();
    let state = words_of(List::KeyState).contains(&last)
        || key.len() > 1 && words_of(List::KeyStateFirst).contains(&key[0].as_str());
    // `SIM operator`, `registered since`, `radio interface`: another thing of the same noun.
    let closes = |list| words_of(list).contains(&last) || state && among(list);
    let card = words_of(List::KeyCard);
    if closes(List::KeySim)
        || card.contains(&last) && has(&["sim"])
        || state && has(card) && !has(&["network", "sd", "memory", "sound"])
    {
        return Some(On::Card);
    }
    if last == "lock" {
        return Some(On::Lock);
    }
    if has(&["airplane", "flight", "aeroplane", "flugmodus"])
        && (matches!(last, "mode" | "flugmodus") || state)
    {
        return Some(On::FlightMode);
    }
    if has(&["radio", "rf"])
        && (state || matches!(last, "radio" | "power"))
        && !has(&["interface", "access"])
    {
        return Some(match () {
            () if has(&["hardware", "hw"]) => On::HardRadio,
            () if has(&["software", "sw"]) => On::SoftRadio,
            () => On::Radio,
        });
    }
    if closes(List::KeyRegistration)
        || state && among(List::KeyNetwork) && !has(&["interface", "connection"])
    {
        return Some(On::Registration);
    }
    if closes(List::KeySession) {
        return Some(On::Session);
    }
    let of_modem = |token: &String| words_of(List::KeyModem).contains(&token.as_str());
    if matches!(last, "state" | "status") && key[..key.len() - 1].iter().all(of_modem) {
        return Some(On::Modem);
    }
    // `GSM is registered`: the system itself is the subject.
    let system = |token: &str| words_of(List::System).contains(&token);
    let filler = |token: &String| words_of(List::KeyFiller).contains(&token.as_str());
    (system(last) && key.iter().all(|token| filler(token) || system(token))).then_some(On::System)
}

#[cfg(test)]
mod tests {
    use super::super::key_value::pairs;
    use super::*;
    use crate::reference::status_words::{
        CardState, RadioState, RegistrationState, SessionState, State,
    };

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
            ("registration: not searching", State::Registration(RegistrationState::NotSearching)),
            ("Status der SIM-Karte: nicht erkannt", State::Card(CardState::Absent)),
            ("SIM-Karte: PIN erforderlich", State::Card(CardState::PinRequired)),
            ("Netzstatus: eingebucht", State::Registration(RegistrationState::Registered)),
            ("état du réseau : pas de réseau", State::Registration(RegistrationState::NoService)),
            ("Registro: no registrado", State::Registration(RegistrationState::Detached)),
            ("attach state: 02 - attached", State::Registration(RegistrationState::Attached)),
            ("Hardware radio state : Off", State::Radio(RadioState::OffByHardware)),
            ("airplane mode = on", State::Radio(RadioState::OffBySoftware)),
            ("connection status: disconnected", State::Session(SessionState::Inactive)),
            ("application state = pin1-or-upin-pin-required", State::Card(CardState::PinRequired)),
            ("unlock required: sim-puk", State::Card(CardState::PukRequired)),
            ("| PIN state | SIM_PIN |", State::Card(CardState::PinRequired)),
            ("lock=ph-net-pin", State::Lock(LockState::Network)),
            ("unlock.required = 'SIM PUK'", State::Card(CardState::PukRequired)),
            ("state: locked", State::Card(CardState::PinRequired)),
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
            "unlock retries: sim-pin (3)",
            "enabled locks: sim-pin",
            "gps state: locked",
            "lock: none",
        ] {
            assert_eq!(states(line), [], "{line}");
        }
    }
}
