//! Whole verdicts as they were read and approved: finding, certainty, what explains what, the next
//! questions, remarks, what a return would need. A change shows here as a change of these pages
//! (`tests/snapshots`), to be read before it is accepted (`cargo insta review`).

use mastside::capture::decode;
use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, Explanation, View};
use mastside::rules::{self, Judgement};
use mastside::verdict::Judged;
use std::fmt::Write;
use std::path::Path;

/// A verdict in a few lines. That no profile was chosen for want of the card's numbers is left out:
/// it stands at nearly every short text.
fn told(text: &str) -> String {
    let profiles = ProfileStore::shipped();
    let basis = Basis { tried: Some(&[]), ..Basis::of(&profiles) };
    let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
    let (verdict, returning) = (explanation.verdict(), &explanation.returning);
    let mut out = String::new();
    writeln!(
        out,
        "{} {:?}, {:?} acts: {}",
        verdict.id(),
        verdict.certainty,
        verdict.acts,
        verdict.summary
    )
    .unwrap();
    writeln!(out, "  stands: {}", verdict.state).unwrap();
    for judged in &verdict.judged {
        let Judgement::Holds { certainty, .. } = &judged.judgement else { continue };
        let because = judged.because_of.map_or_else(String::new, |id| format!(", of {id}"));
        let lines: Vec<usize> = judged
            .evidence()
            .iter()
            .map(|e| text[..e.span.start].matches('\n').count() + 1)
            .collect();
        writeln!(out, "  {} {certainty:?}{because}, lines {lines:?}", judged.rule.id).unwrap();
    }
    for e in verdict.root().map(Judged::evidence).unwrap_or_default() {
        writeln!(out, "  shown by: {}", e.says).unwrap();
    }
    let out_of_it = verdict.judged.iter().filter(|j| matches!(j.judgement, Judgement::RuledOut(_)));
    let out_of_it: Vec<&str> = out_of_it.map(|j| j.rule.id).collect();
    writeln!(out, "  ruled out: {}", out_of_it.join(" ")).unwrap();
    for ask in &verdict.ask_next {
        writeln!(out, "  ask {} for {}", ask.commands.join(" "), ask.settles.join(" ")).unwrap();
    }
    for remark in verdict.remarks.iter().filter(|r| !r.text.starts_with("Without the card's")) {
        writeln!(out, "  {:?}: {}", remark.kind, remark.text).unwrap();
    }
    let decision = returning.as_ref().unwrap();
    let checks: Vec<&str> = decision.checks.iter().map(|c| c.state.word()).collect();
    writeln!(out, "  return {:?}: {}", decision.advice, checks.join(" ")).unwrap();
    writeln!(out, "  {} {}", decision.sentence, decision.for_the_maker).unwrap();
    out
}

fn folder(name: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "txt"))
        .map(|p| {
            let name = p.file_stem().unwrap().to_string_lossy().into_owned();
            (name, decode(&std::fs::read(&p).unwrap()).unwrap().into_owned())
        })
        .collect();
    found.sort();
    found
}

#[test]
fn demo_captures() {
    let mut page = String::new();
    for (name, text) in folder("demo/captures") {
        writeln!(page, "{name}\n{}", told(&text)).unwrap();
    }
    insta::assert_snapshot!(page);
}

#[test]
fn cases_on_the_pages_of_the_rules() {
    let mut page = String::new();
    for rule in rules::all() {
        for kind in ["holds", "ruled-out", "open"] {
            let opened = format!("```{kind}\n");
            for (n, rest) in rule.page.split(&*opened).skip(1).enumerate() {
                let text = rest.split("```").next().unwrap();
                writeln!(page, "{} {kind} {}\n{}", rule.id, n + 1, told(text)).unwrap();
            }
        }
    }
    insta::assert_snapshot!(page);
}

/// Texts between lines that begin with `===`, each named by what is told apart in it.
#[test]
fn states_and_doubts() {
    let mut page = String::new();
    for (_, file) in folder("tests/texts") {
        for part in file.split("\n=== ").skip(1) {
            let (name, text) = part.split_once('\n').unwrap();
            writeln!(page, "{name}\n{}", told(text)).unwrap();
        }
    }
    insta::assert_snapshot!(page);
}
