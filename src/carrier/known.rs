//! What a capture shows of a card and of the network in use, as far as profiles are chosen by it.

use crate::case::{Case, History};

/// What is known of a card and where it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Known {
    /// Subscriber number.
    pub imsi: Option<String>,
    /// Card number.
    pub iccid: Option<String>,
    /// Group identifier level 1, hexadecimal.
    pub gid1: Option<String>,
    /// Provider name on the card.
    pub provider_name: Option<String>,
    /// Network in use, five or six digits.
    pub network: Option<String>,
}

impl Known {
    /// What a case holds of its card and network.
    pub fn of(case: &Case) -> Self {
        let latest = |h: &History<String>| h.latest().map(|o| o.value.clone());
        let network = case.registration.operator.latest().and_then(|o| o.value.name.clone());
        Self {
            imsi: latest(&case.card.imsi),
            iccid: latest(&case.card.iccid),
            gid1: latest(&case.card.gid1),
            provider_name: latest(&case.card.provider_name),
            network: network
                .filter(|n| matches!(n.len(), 5 | 6) && n.bytes().all(|b| b.is_ascii_digit())),
        }
    }
}
