//! Which finding explains the others.

use super::Judged;
use crate::rules::Certainty;

/// Notes for every finding that holds which other one explains it.
pub(super) fn link(judged: &mut [Judged]) {
    let holding: Vec<_> = judged.iter().filter_map(|j| Some((j.rule, j.certainty()?))).collect();
    if holding.len() < 2 {
        return;
    }
    for j in judged.iter_mut() {
        let Some(own) = j.certainty() else { continue };
        // A guess does not explain what is sure.
        j.because_of = holding
            .iter()
            .filter(|(rule, certainty)| {
                rule.explains(j.rule) && (*certainty >= own || *certainty >= Certainty::Likely)
            })
            // Where two explain each other, the one that names the other outweighs a whole layer;
            // no two name each other.
            .filter(|(rule, _)| !j.rule.explains(rule) || rule.explains_by_name(j.rule))
            .max_by_key(|(rule, certainty)| (*certainty, std::cmp::Reverse(rule.layer())))
            .map(|(rule, _)| rule.id);
    }
    break_circles(judged);
}

/// Of findings that explain each other in a circle the surest one explains the others, and of
/// equally sure ones that of the highest layer, which is the most particular.
fn break_circles(judged: &mut [Judged]) {
    let of = |judged: &[Judged], id: &str| {
        judged.iter().position(|j| j.rule.id == id).filter(|i| judged[*i].because_of.is_some())
    };
    for begin in 0..judged.len() {
        if judged[begin].because_of.is_none() {
            continue;
        }
        let mut circle = vec![begin];
        let mut at = begin;
        while let Some(next) = judged[at].because_of.and_then(|id| of(judged, id)) {
            if next == begin {
                let root = circle
                    .iter()
                    .copied()
                    .max_by_key(|i| (judged[*i].certainty(), judged[*i].rule.layer()));
                if let Some(root) = root {
                    judged[root].because_of = None;
                }
                break;
            }
            if circle.contains(&next) {
                break;
            }
            circle.push(next);
            at = next;
        }
    }
}

/// The root cause: sure before likely, then the lower layer, which stands first among the judged;
/// nothing that only fits.
pub(super) fn choose(judged: &[Judged], connected: bool) -> Option<&Judged> {
    judged
        .iter()
        .filter(|j| j.certainty().is_some_and(|c| c >= Certainty::Likely))
        .filter(|j| j.because_of.is_none())
        .filter(|j| !connected || j.rule.beside_connection)
        .min_by_key(|j| std::cmp::Reverse(j.certainty()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{Judgement, Rule, all};
    use std::borrow::Cow;

    fn held(rules: &[&'static Rule]) -> Vec<Judged> {
        let holds = Judgement::Holds {
            certainty: Certainty::Likely,
            summary: Cow::Borrowed(""),
            evidence: Vec::new(),
        };
        let of = |rule: &&'static Rule| Judged {
            rule,
            judgement: holds.clone(),
            because_of: None,
            is_state: false,
            remedies: Vec::new(),
            settled_by: Vec::new(),
        };
        rules.iter().map(of).collect()
    }

    #[test]
    fn no_two_rules_name_each_other() {
        for a in all() {
            for b in all() {
                assert!(!(a.explains_by_name(b) && b.explains_by_name(a)), "{} {}", a.id, b.id);
            }
        }
    }

    #[test]
    fn in_a_circle_the_surest_of_the_highest_layer_stays() {
        let rules: Vec<_> = all().take(4).collect();
        let mut judged = held(&rules);
        judged[0].because_of = Some(rules[1].id);
        judged[1].because_of = Some(rules[2].id);
        judged[2].because_of = Some(rules[0].id);
        judged[3].because_of = Some(rules[0].id);
        break_circles(&mut judged);
        let free: Vec<_> = judged.iter().filter(|j| j.because_of.is_none()).collect();
        assert_eq!(free.len(), 1);
        assert_eq!(judged[3].because_of, Some(rules[0].id), "whoever hangs on a circle stays");
        // Without a circle nothing changes.
        let mut chain = held(&rules);
        chain[1].because_of = Some(rules[0].id);
        chain[2].because_of = Some(rules[1].id);
        break_circles(&mut chain);
        assert_eq!(chain[2].because_of, Some(rules[1].id));
        assert_eq!(chain[1].because_of, Some(rules[0].id));
    }

    #[test]
    fn whatever_holds_together_has_a_root() {
        let rules: Vec<_> = all().collect();
        for (i, a) in rules.iter().enumerate() {
            for (j, b) in rules[..i].iter().enumerate() {
                for c in &rules[..j] {
                    let mut judged = held(&[c, b, a]);
                    link(&mut judged);
                    assert!(choose(&judged, false).is_some(), "{} {} {}", c.id, b.id, a.id);
                }
            }
        }
    }
}
