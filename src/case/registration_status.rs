//! What a registration state (`<stat>`) means: the one place that says which states are registered.
//!
//! TS 27.007 §7.2 (`+CREG`), §10.1.20 (`+CGREG`), §10.1.22 (`+CEREG`), §10.1.47 (`+C5GREG`).

use super::fact::Registration;

/// What a registration state means, the least telling first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RegistrationStatus {
    /// Not registered, not searching (0).
    Idle,
    /// Unknown (4), or a state that no standard defines.
    Unknown,
    /// Registered for short messages only (6, 7).
    ShortMessages,
    /// Searching (2).
    Searching,
    /// Attached for emergency bearer services only (8), or for restricted local operator services only (11).
    Emergency,
    /// Refused by the network (3).
    Denied,
    /// Registered, at home (1, 9) or roaming (5, 10); 9 and 10 are registered on LTE with calls that
    /// fall back to another network not preferred.
    Registered,
}

impl RegistrationStatus {
    /// The meaning of a number.
    pub const fn of(stat: u8) -> Self {
        match stat {
            0 => Self::Idle,
            1 | 5 | 9 | 10 => Self::Registered,
            2 => Self::Searching,
            3 => Self::Denied,
            6 | 7 => Self::ShortMessages,
            8 | 11 => Self::Emergency,
            _ => Self::Unknown,
        }
    }

    /// The meaning in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Idle => "not registered and not searching",
            Self::Unknown => "state unknown, for example out of coverage",
            Self::ShortMessages => "registered for short messages only",
            Self::Searching => "searching for a network",
            Self::Emergency => "attached for emergency bearer services only",
            Self::Denied => "registration denied",
            Self::Registered => "registered",
        }
    }
}

impl Registration {
    /// What the state means.
    pub const fn status(&self) -> RegistrationStatus {
        RegistrationStatus::of(self.stat)
    }

    /// Whether the state is registered, at home or roaming.
    pub const fn is_registered(&self) -> bool {
        matches!(self.status(), RegistrationStatus::Registered)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The lists of TS 27.007 §7.2 and §10.1.22.
    #[test]
    fn registered_are_home_and_roaming_with_and_without_preferred_fallback() {
        let registered: Vec<u8> = (0..=u8::MAX)
            .filter(|stat| RegistrationStatus::of(*stat) == RegistrationStatus::Registered)
            .collect();
        assert_eq!(registered, [1, 5, 9, 10]);
    }
}
