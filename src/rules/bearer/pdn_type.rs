#![doc = include_str!("pdn_type.md")]

use crate::reference::status_words::LinkState;
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, bearer_up, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/pdn-type",
    asks: "Does the network refuse the address type?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON],
    amendment: Some("access-point NAME"),
    follow_up: super::session::FOLLOW_UP,
    question: Some(
        "Which address type does the carrier give for this contract: IPv4, IPv6, or both?",
    ),
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Set the address type that the carrier wants (often IP alone, or IPV4V6) on the \
             attach context.",
        )
        .reading(&["AT+CGDCONT?"]),
        Action::step(Acts::Carrier, "Ask which address types the contract allows."),
    ],
    explains: super::consequences::AFTER_REFUSAL,
    page: include_str!("pdn_type.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let told = super::session::refused(
        site,
        |c| matches!(c, 28 | 50 | 51 | 57 | 58),
        "The network refuses the address type of the context.",
        "this address type is not allowed",
    );
    if !matches!(told, Judgement::Open) {
        return told;
    }
    let rejected = site.path.links.latest().filter(|o| o.value == LinkState::ProtocolRejected);
    if let Some(o) = rejected.filter(|_| bearer_up(site).is_none()) {
        return holds(
            Certainty::Likely,
            "The peer of the link rejects the protocol of the addresses that the host asks for.",
            vec![o.says("the other address type is meant (RFC 1661 §5.7)")],
        );
    }
    let (Some(carrier), Some(context)) = (site.carrier, super::session::attach_context(site))
    else {
        return Judgement::Open;
    };
    let point =
        carrier.access_points.iter().find(|a| a.name.eq_ignore_ascii_case(&context.value.apn));
    match point.and_then(|p| p.address) {
        Some(wanted) if !wanted.word().eq_ignore_ascii_case(&context.value.kind) => holds(
            Certainty::Possible,
            format!(
                "The context asks for {}, and {} wants {}.",
                context.value.kind,
                carrier.name,
                wanted.word()
            ),
            vec![context.says(format!("{} is wanted", wanted.word()))],
        ),
        _ => Judgement::Open,
    }
}
