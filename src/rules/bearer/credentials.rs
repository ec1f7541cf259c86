#![doc = include_str!("credentials.md")]

use crate::case::Observation;
use crate::reference::status_words::LinkState;
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/credentials",
    asks: "Are user name and password of the access point right?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON, &reads::AUTHENTICATION],
    amendment: Some("access-point NAME --user NAME"),
    follow_up: super::session::FOLLOW_UP,
    question: Some(
        "Did the carrier give a user name and a password for this access point, and of which kind (PAP or CHAP)?",
    ),
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier for user name, password and kind of authentication (PAP or CHAP) of this access point.",
        ),
        Action::step(Acts::Installer, "Set them on the attach context.").reading(&["AT+CGAUTH?"]),
    ],
    explains: super::consequences::AFTER_REFUSAL,
    page: include_str!("credentials.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let told = super::session::refused(
        site,
        |c| c == 29,
        "The access point refuses user name or password.",
        "user authentication failed",
    );
    if !matches!(told, Judgement::Open) {
        return told;
    }
    let refused = |o: &&Observation<LinkState>| o.value == LinkState::AuthenticationFailed;
    if let Some(o) = site.path.links.current().iter().rev().find(refused) {
        return holds(
            Certainty::Likely,
            "The network's side of the link refuses user name or password.",
            vec![o.says("the login of the link was refused")],
        );
    }
    let (Some(carrier), Some(context), Some(set)) =
        (site.carrier, super::session::attach_context(site), site.sessions.authentication.latest())
    else {
        return Judgement::Open;
    };
    let point =
        carrier.access_points.iter().find(|a| a.name.eq_ignore_ascii_case(&context.value.apn));
    match point.and_then(|p| p.authentication) {
        Some(wanted)
            if set.value.cid == context.value.cid && wanted.number() != set.value.protocol =>
        {
            holds(
                Certainty::Possible,
                format!(
                    "{} wants {} for this access point, and another kind of authentication is set.",
                    carrier.name,
                    wanted.word()
                ),
                vec![
                    set.says(format!("{} is wanted", wanted.word())),
                    context.says("the access point"),
                ],
            )
        }
        _ => Judgement::Open,
    }
}
