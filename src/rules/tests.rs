//! Every page's examples, and what must be true of all rules together.

use super::*;
use crate::capture::Capture;
use crate::carrier::{Carriers, Choice};
use crate::case::Case;

/// The fenced examples of a page: label and text.
fn examples(page: &str) -> Vec<(&str, String)> {
    let mut found = Vec::new();
    let mut open: Option<(&str, String)> = None;
    for line in page.lines() {
        match (&mut open, line.strip_prefix("```")) {
            (None, Some(label)) if !label.is_empty() => open = Some((label, String::new())),
            (Some(_), Some(_)) => found.extend(open.take()),
            (Some((_, text)), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, _) => {}
        }
    }
    found
}

#[test]
fn every_example_on_a_page_is_judged_as_its_label_says() {
    let mut wrong = Vec::new();
    for rule in all() {
        for (label, text) in examples(rule.page) {
            let case = Case::read(&Capture::new(&text));
            // Where the card's numbers stand in an example, its carrier's shipped profile counts.
            let book = Carriers::shipped();
            let choice = Choice::make(&book, &case, None).unwrap();
            let judged = (rule.judge)(&Site::with(&case, choice.carrier.as_ref(), &book)).word();
            if judged != label {
                wrong.push(format!("{}: {judged}, not {label}:\n{text}", rule.id));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_page_shows_all_three_answers_under_the_rules_own_question() {
    for rule in all() {
        let labels: Vec<_> = examples(rule.page).into_iter().map(|(l, _)| l).collect();
        for label in ["holds", "ruled-out", "open"] {
            assert!(labels.contains(&label), "the page of {} has no example that {label}", rule.id);
        }
        assert_eq!(
            rule.page.lines().next(),
            Some(format!("# {}", rule.asks).as_str()),
            "{}",
            rule.id
        );
        for heading in ["## What shows it", "## What rules it out", "## What leaves it open"] {
            assert!(rule.page.contains(heading), "the page of {} lacks `{heading}`", rule.id);
        }
    }
}

#[test]
fn ids_never_repeat_and_stand_in_the_order_of_their_layers() {
    let ids: Vec<_> = all().map(|r| r.id).collect();
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(sorted.len(), ids.len());
    assert!(ids.is_sorted_by_key(|id| height(id)));
}

#[test]
fn what_a_rule_explains_exists_and_stands_no_lower() {
    for rule in all() {
        for other in rule.explains {
            let known =
                all().any(|r| r.id == *other || other.ends_with('/') && r.id.starts_with(other));
            assert!(known, "{} explains {other}, which is no rule", rule.id);
        }
    }
}

#[test]
fn no_rule_asks_for_anything_that_writes() {
    for rule in all() {
        for read in rule.needs {
            let sets = read.split_once('=').is_some_and(|(name, v)| {
                v != "?"
                    && !matches!(
                        name,
                        "AT+CEREG"
                            | "AT+CMEE"
                            | "AT+CRSM"
                            | "AT+QENG"
                            | "AT+QCFG"
                            | "AT+QNWPREFCFG"
                    )
            });
            assert!(!sets, "{} asks for {read}", rule.id);
        }
    }
}

#[test]
fn every_rule_says_what_to_do() {
    for rule in all() {
        assert!(!rule.actions.is_empty(), "{}", rule.id);
        assert!(
            rule.actions.iter().any(|a| a.by == rule.acts) || rule.acts == Acts::Nobody,
            "{}",
            rule.id
        );
    }
}

#[test]
fn a_circuit_refusal_beside_working_data_is_no_fault() {
    let case = Case::read(&Capture::new("+CREG: 0,3\n+CGREG: 0,1\n+CEREG: 0,1\n"));
    let judged = (find("registration/denied").unwrap().judge)(&Site::of(&case));
    assert_eq!(judged.word(), "ruled-out");
}
