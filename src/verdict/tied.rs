//! Several carrier profiles that fit one card alike: what holds with all of them counts, what they differ in stays open.

use crate::rules::{Certainty, Judgement, Rule, Site};
use std::borrow::Cow;

/// A rule's answer; `differs` is set where the profiles that fit alike lead to different ones.
pub(super) fn judge(
    site: &Site<'_>,
    candidates: &[Site<'_>],
    rule: &Rule,
    differs: &mut bool,
) -> Judgement {
    let answers: Vec<_> = candidates.iter().map(|with| (rule.judge)(with)).collect();
    let fault = |j: &Judgement| matches!(j, Judgement::Holds { certainty, .. } if *certainty >= Certainty::Likely);
    *differs |= answers.iter().any(fault) && !answers.iter().all(fault);
    let mut answers = answers.into_iter();
    let agreed = answers.next().and_then(|first| answers.try_fold(first, agree));
    agreed.unwrap_or_else(|| (rule.judge)(site))
}

/// What two answers say together, where both say the same.
fn agree(one: Judgement, other: Judgement) -> Option<Judgement> {
    match (one, other) {
        (
            Judgement::Holds { certainty, summary, evidence },
            Judgement::Holds { certainty: also, summary: says, .. },
        ) => Some(Judgement::Holds {
            certainty: Certainty::min(certainty, also),
            summary: if summary.contains(&*says) {
                summary
            } else {
                Cow::Owned(format!("{summary} {says}"))
            },
            evidence,
        }),
        (Judgement::RuledOut(evidence), Judgement::RuledOut(_)) => {
            Some(Judgement::RuledOut(evidence))
        }
        (Judgement::Open, Judgement::Open) => Some(Judgement::Open),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::carrier::{Choice, ProfileStore};
    use crate::case::Case;
    use crate::rules::{Judgement, Site};
    use crate::verdict::Verdict;

    /// The verdict with the shipped profiles, two of which share the network 001 01.
    fn verdict(text: &str) -> Verdict {
        let case = Case::read(&Capture::new(text));
        let profiles = ProfileStore::shipped();
        let choice = Choice::make(&profiles, &case, None).unwrap();
        Verdict::reach(&Site::chosen(&case, &choice, &profiles))
    }

    fn text(name: &str) -> String {
        format!(
            "AT+CIMI\n001010000012345\nOK\nAT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"{name}\",\"\",0,0\nOK\n\
             AT+CEREG?\n+CEREG: 3,3,,,,0,19\nOK\n"
        )
    }

    #[test]
    fn a_name_that_no_candidate_uses_differs_from_all() {
        let other = verdict(&text("weir.example"));
        assert_eq!(other.id(), "bearer/apn-mismatch", "decisive with EMM 19");
        assert!(other.summary.contains("None of the 2"), "{}", other.summary);
        assert!(
            other.summary.contains("gauge.example")
                && other.summary.contains("meters.riverband.example")
        );
    }

    #[test]
    fn a_refusal_for_voice_is_not_for_the_name() {
        let text = text("weir.example")
            .replace("+CEREG: 3,3,,,,0,19", "+CREG: 0,3")
            .replace("+CEREG?", "+CREG?");
        assert_eq!(verdict(&text).id(), "registration/denied");
    }

    #[test]
    fn a_name_of_one_candidate_is_left_open_and_the_card_is_asked_whose_it_is() {
        let one = verdict(&text("gauge.example"));
        assert_ne!(one.id(), "bearer/apn-mismatch");
        let judged = one.judged.iter().find(|j| j.rule.id == "bearer/apn-mismatch").unwrap();
        assert!(matches!(judged.judgement, Judgement::Open));
        assert_eq!(one.ask_next[0].commands[0], "AT+CRSM=176,28486,0,0,17");
        let nothing_differs = verdict("AT+CIMI\n001010000012345\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n");
        assert!(
            nothing_differs
                .ask_next
                .iter()
                .all(|a| !a.commands.contains(&"AT+CRSM=176,28486,0,0,17"))
        );
    }
}
