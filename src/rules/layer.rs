//! The layers that causes belong to, the lowest first.

/// A layer of causes, from the bottom up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// The computer beside the modem, and the port.
    Host,
    /// The modem as a device.
    Device,
    /// The card and its holder.
    Card,
    /// What the radio hears, and may use.
    Radio,
    /// Registration with the network.
    Registration,
    /// The data session.
    Bearer,
    /// What passes over the session.
    Path,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Self; 7] = [
        Self::Host,
        Self::Device,
        Self::Card,
        Self::Radio,
        Self::Registration,
        Self::Bearer,
        Self::Path,
    ];

    /// The layer of a word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|l| l.word() == word)
    }

    /// The word for it, as ids begin.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Host => "host",
            Self::Device => "device",
            Self::Card => "card",
            Self::Radio => "radio",
            Self::Registration => "registration",
            Self::Bearer => "bearer",
            Self::Path => "path",
        }
    }
}
