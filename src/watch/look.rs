//! What one round of answers says, or what came by itself between two.

use crate::capture::Capture;
use crate::case::{Case, Domain, Power, Sim};
use std::collections::BTreeMap;

/// A refusal by the network: its list and number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The list.
    pub list: crate::reference::causes::CauseList,
    /// The number.
    pub number: u8,
}

/// What was seen. What is absent was not told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Look {
    /// States by domain, `<stat>` numbers.
    pub states: Vec<(Domain, u8)>,
    /// The network's refusal.
    pub refusal: Option<Refusal>,
    /// The state of the card.
    pub card: Option<Sim>,
    /// Addresses by context, for comparison alone; an empty one for none.
    pub addresses: BTreeMap<u8, String>,
    /// Whether the modem printed that it starts.
    pub started: bool,
}

impl Look {
    /// What a recorded dialogue says.
    pub fn of(text: &str) -> Self {
        let case = Case::read(&Capture::new(text));
        let domains = [Domain::FiveG, Domain::Eps, Domain::Packet, Domain::Circuit];
        let states = domains.into_iter().filter_map(|d| Some((d, case.stat(d)?.value.stat)));
        let refusal = case.registration.rejects.latest().filter(|r| !r.value.history);
        let context = |cid: u8| case.sessions.addresses.get(&cid).and_then(|h| h.latest());
        Self {
            states: states.collect(),
            refusal: refusal.map(|r| Refusal { list: r.value.kind, number: r.value.cause }),
            card: case.card.state.latest().map(|o| o.value),
            addresses: (0..=15)
                .filter_map(|cid| Some((cid, context(cid)?.value.clone())))
                .collect(),
            started: case.device.power.all().iter().any(|o| o.value == Power::Started),
        }
    }

    /// Whether nothing was told.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_tells_state_cause_card_and_address() {
        let look = Look::of(
            "[2026-03-02 08:30:00.166] > AT+CPIN?\n[2026-03-02 08:30:00.167] < +CPIN: READY\n\
             [2026-03-02 08:30:00.167] < OK\n[2026-03-02 08:30:00.168] > AT+CEREG?\n\
             [2026-03-02 08:30:00.169] < +CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15\n\
             [2026-03-02 08:30:00.169] < OK\n[2026-03-02 08:30:00.170] > AT+CGPADDR\n\
             [2026-03-02 08:30:00.171] < +CGPADDR: 1,\"192.0.2.44\"\n[2026-03-02 08:30:00.171] < OK\n",
        );
        assert_eq!(look.states, [(Domain::Eps, 3)]);
        assert_eq!(look.refusal.map(|r| r.number), Some(15));
        assert_eq!(look.card, Some(Sim::Ready));
        assert_eq!(look.addresses[&1], "192.0.2.44");
    }

    #[test]
    fn what_comes_by_itself_is_a_look_too() {
        let look = Look::of("[2026-03-02 08:30:00.166] < +CEREG: 2\n");
        assert_eq!(look.states, [(Domain::Eps, 2)]);
        assert!(Look::of("[2026-03-02 08:30:00.166] < RDY\n").started);
        assert!(Look::of("").is_empty());
    }
}
