#![doc = include_str!("apn_mismatch.md")]

use crate::carrier::Carrier;
use crate::carrier::access_point_name::difference;
use crate::case::{ContextDefinition, Domain, Observation};
use crate::rules::{
    Acts, Certainty, Consequence, Judgement, RegistrationStatus, Rule, Site, bearer_up, data_known,
    holds, reads,
};
use compact_str::CompactString;

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/apn-mismatch",
    asks: "Is the access point name the one that the carrier wants?",
    settled_by: &[&reads::CONTEXTS],
    amendment: Some("access-point NAME"),
    commonness: 4,
    follow_up: super::session::FOLLOW_UP,
    question: Some(super::session::WHICH_NAME),
    clause: "TS 23.003 §9; TS 27.007 §10.1.1",
    acts: Acts::Installer,
    actions: &[
        super::session::ASK_FOR_THE_NAME.unless(|site| {
            site.carrier.is_some() || site.sessions.intended_names.latest().is_some()
        }),
        super::session::WRITE_THE_NAME,
    ],
    explains: super::consequences::AFTER_REFUSAL,
    explains_too: &[Consequence::Rule(&super::apn_unknown::RULE)],
    page: include_str!("apn_mismatch.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(evidence);
    }
    let Some(context) = super::session::attach_context(site) else { return Judgement::Open };
    let name = context.value.apn.as_str();
    if name.trim() != name {
        return holds(
            Certainty::Likely,
            "The access point name carries a stray blank.",
            vec![context.says("a blank before or after the name")],
        );
    }
    if is_placeholder(name) {
        // While the modem only searches, nobody has refused the name yet.
        let searching = matches!(
            site.registration_status(),
            Some((
                RegistrationStatus::Searching
                    | RegistrationStatus::Idle
                    | RegistrationStatus::Unknown,
                _
            ))
        );
        let certainty = if searching && site.online().is_none() {
            Certainty::Possible
        } else {
            Certainty::Likely
        };
        return holds(
            certainty,
            format!("The access point name is a template's placeholder: {name}"),
            vec![context.says("a placeholder, not a carrier's name")],
        );
    }
    if let Some(differs) = against_profile(site, context) {
        return if refused_without_session(site) { at_most_possible(differs) } else { differs };
    }
    if let Some(differs) = against_intention(site, context) {
        return differs;
    }
    let refused = site.registration_status().is_some_and(|(s, _)| s == RegistrationStatus::Denied)
        || super::session::session_reject(site).is_some();
    if context.value.is_for_other_use() && refused {
        return holds(
            Certainty::Likely,
            format!(
                "The name {name} is for voice or emergency calls and is set on the context that the attach uses."
            ),
            vec![context.says("a name for another use than data")],
        );
    }
    Judgement::Open
}

/// Whether the circuit domain, which opens no session, does not take the modem, and nothing is known of data.
fn refused_without_session(site: &Site<'_>) -> bool {
    let circuit = site.stat(Domain::Circuit).is_some_and(|o| !o.value.is_registered());
    circuit && !data_known(site) && super::session::session_reject(site).is_none()
}

fn at_most_possible(judgement: Judgement) -> Judgement {
    match judgement {
        Judgement::Holds { summary, evidence, .. } => holds(Certainty::Possible, summary, evidence),
        other => other,
    }
}

/// The stored name held against the carrier's own: the right one rules the cause out.
fn against_profile(site: &Site<'_>, context: &Observation<ContextDefinition>) -> Option<Judgement> {
    let name = context.value.apn.as_str();
    let points = site.data_access_points();
    let carrier = site.carrier.filter(|_| !points.is_empty())?;
    let all = &carrier.access_points;
    if all.iter().filter(|a| !a.is_for_other_use()).any(|a| a.name.eq_ignore_ascii_case(name)) {
        return Some(Judgement::RuledOut(context.says(format!("a name of {}", carrier.name))));
    }
    // No name may mean the network's own choice.
    if name.is_empty() {
        return None;
    }
    let (wanted, differs) = points
        .iter()
        .filter_map(|a| Some((a.name.as_str(), difference(name, &a.name)?)))
        .min_by_key(|(_, words)| usize::from(words == "another name"))?;
    if site.candidates.len() > 1 {
        return Some(none_uses(site.candidates, name, context));
    }
    let owners = site.profiles.map_or_else(Vec::new, |b| b.owners(name, Some(&carrier.name)));
    let whose = match owners.as_slice() {
        [] => String::new(),
        [one] => format!(" This name belongs to {one}."),
        [one, ..] => format!(" This name belongs to {one} and others."),
    };
    Some(holds(
        Certainty::Likely,
        format!(
            "The access point name is `{name}`; {} wants `{wanted}` ({differs}).{whose}",
            carrier.name
        ),
        vec![context.says(format!("{differs}; `{wanted}` is wanted"))],
    ))
}

/// What is said with each of several profiles that fit alike: it counts only where it holds with all of them.
fn none_uses(
    candidates: &[Carrier],
    name: &str,
    context: &Observation<ContextDefinition>,
) -> Judgement {
    let uses = candidates.iter().filter_map(|carrier| {
        let own = carrier.access_points.iter().find(|a| !a.is_for_other_use())?;
        Some(format!("`{}` ({})", own.name, carrier.name))
    });
    let (uses, count) = (uses.collect::<Vec<_>>().join(", "), candidates.len());
    holds(
        Certainty::Likely,
        format!(
            "None of the {count} carrier profiles that fit this card uses `{name}`; they use {uses}."
        ),
        vec![context.says("a name of none of them")],
    )
}

/// A program or a person beside the dialogue means another name, and no context holds it.
fn against_intention(
    site: &Site<'_>,
    context: &Observation<ContextDefinition>,
) -> Option<Judgement> {
    let stored = |name: &str| {
        site.sessions
            .contexts
            .values()
            .flat_map(crate::case::History::all)
            .any(|o| o.value.apn.eq_ignore_ascii_case(name))
    };
    let meant = site
        .sessions
        .intended_names
        .latest()
        .filter(|o| !stored(&o.value) && !is_placeholder(&o.value))?;
    // An empty name is the business of another rule.
    if context.value.apn.is_empty() {
        return None;
    }
    Some(holds(
        Certainty::Likely,
        format!(
            "The name meant is `{}`, and the modem still has `{}`.",
            meant.value, context.value.apn
        ),
        vec![context.says("the name that the modem has"), meant.says("the name that is meant")],
    ))
}

/// Whether a template wrote the name; common practice, no source, save the names that nobody may have (RFC 6761 §6.4).
pub(super) fn is_placeholder(name: &str) -> bool {
    const WHOLE: [&str; 9] =
        ["apn", "apnname", "apnhere", "theapn", "changeme", "placeholder", "todo", "xxx", "xxxx"];
    /// Each holds one of [`MARKS`].
    const PARTS: [&str; 10] = [
        "yourapn",
        "myapn",
        "insertapn",
        "yourcarrier",
        "youroperator",
        "yourprovider",
        "apnofyour",
        "setapn",
        "enterapn",
        "apngoeshere",
    ];
    const MARKS: [&str; 2] = ["apn", "your"];
    // `TODO-APN-HERE`, `<enter name>`: nothing but such words, and one that no network is called.
    const FILLER: [&str; 10] =
        ["the", "here", "name", "of", "in", "goes", "access", "point", "carrier", "isp"];
    const TELLING: [&str; 11] =
        ["apn", "your", "my", "todo", "insert", "enter", "replace", "change", "fill", "put", "xxx"];
    let one_of = |all: &[&str], word: &str| all.iter().any(|w| w.eq_ignore_ascii_case(word));
    let mut letters = CompactString::default();
    let (mut words, mut telling, mut only_such) = (0, false, true);
    for word in name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty()) {
        let tells = one_of(&TELLING, word);
        words += 1;
        telling |= tells;
        only_such &= tells || one_of(&FILLER, word);
        letters.push_str(word);
    }
    letters.make_ascii_lowercase();
    words > 1 && telling && only_such
        || name.to_ascii_lowercase().ends_with(".invalid")
        || WHOLE.contains(&letters.as_str())
        || MARKS.iter().any(|mark| letters.contains(mark))
            && PARTS.iter().any(|part| letters.contains(part))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_template_wrote_is_no_name() {
        for name in [
            "TODO-APN-HERE",
            "<enter name>",
            "your.apn.here",
            "apn",
            "changeme",
            "set_apn",
            "name.invalid",
        ] {
            assert!(is_placeholder(name), "{name}");
        }
        for name in ["gauge.example", "internet", "weir.carrier", "iot", "access.point"] {
            assert!(!is_placeholder(name), "{name}");
        }
    }
}
