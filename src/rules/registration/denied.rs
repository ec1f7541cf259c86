#![doc = include_str!("denied.md")]

use crate::reply::Domain;
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, Standing, data_known, holds};

pub(super) static RULE: Rule = Rule {
    id: "registration/denied",
    asks: "Did the network refuse the modem?",
    needs: &["AT+CEREG=3", "AT+CEREG?", "AT+CEER"],
    clause: "TS 27.007 §7.2, §10.1.22 (state 3)",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::Installer,
            "Have the network's reason shown: switch the report with causes on, let the \
             modem try again, and read.",
        )
        .reading(&["AT+CEREG=3", "AT+CEREG?", "AT+CEER"]),
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether this card is active, has packet data for this \
             technology, and is allowed in this device.",
        ),
    ],
    explains: &[
        "bearer/",
        "path/",
        "registration/searching",
        "registration/idle",
        "registration/emergency",
    ],
    page: include_str!("denied.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    match site.standing() {
        Some((Standing::Denied, evidence)) if data_known(site) => {
            holds(Certainty::Certain, "The network hears the modem and refuses it.", vec![evidence])
        }
        Some((Standing::Denied, evidence)) if site.stat(Domain::Circuit).is_none() => holds(
            Certainty::Likely,
            "The network refuses the modem, as the device tells it in words.",
            vec![evidence],
        ),
        // A card for data alone is refused for voice, and its data works.
        Some((Standing::Denied, evidence)) => holds(
            Certainty::Likely,
            "The network refuses the modem for voice and messages; its state for data was not read.",
            vec![evidence],
        ),
        Some((_, evidence)) if data_known(site) => Judgement::RuledOut(evidence),
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => Judgement::Open,
    }
}
