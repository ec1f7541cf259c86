//! Whole explanations as they were read and approved, one snapshot a case and format (`tests/snapshots`): the demo
//! captures in every output format, the examples on the rules' pages and `tests/texts` as JSON.
//!
//! A change of an explanation shows here as a change of these files, to be read before it is accepted
//! (`cargo insta test --review --test verdicts`).

use mastside::capture::decode;
use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, Explanation, View, html, json, markdown, message, text};
use mastside::rules;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::{self, Write};
use std::path::Path;

type Writer = fn(&Explanation<'_>, &mut String) -> fmt::Result;

/// Every output format by the name of its option.
const FORMATS: [(&str, Writer); 5] =
    [("text", text), ("json", json), ("markdown", markdown), ("message", message), ("html", html)];

fn written(explanation: &Explanation<'_>, writer: Writer) -> String {
    let mut out = String::new();
    writer(explanation, &mut out).unwrap();
    out
}

/// The JSON object with the checks before a return, shortened: a line for each entry, and of the judgements that do not
/// hold the ids alone.
fn brief_json(text: &str) -> String {
    let profiles = ProfileStore::shipped();
    let basis = Basis { tried: Some(&[]), ..Basis::of(&profiles) };
    let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
    let mut object: Value = serde_json::from_str(&written(&explanation, json)).unwrap();
    let judgements = std::mem::take(object["judgements"].as_array_mut().unwrap());
    for answer in ["ruled-out", "open"] {
        let ids = judgements.iter().filter(|j| j["judgement"] == answer).map(|j| j["id"].clone());
        object[answer] = Value::Array(vec![ids.collect()]);
    }
    object["judgements"] = judgements.into_iter().filter(|j| j["judgement"] == "holds").collect();
    let mut out = String::new();
    for (key, value) in object.as_object().unwrap() {
        match value {
            Value::Array(entries) => {
                writeln!(out, "{key}:").unwrap();
                for entry in entries {
                    writeln!(out, "  {entry}").unwrap();
                }
            }
            _ => writeln!(out, "{key}: {value}").unwrap(),
        }
    }
    out
}

/// Compares with `tests/snapshots/<folder>/<name>.snap`.
fn approved(folder: &str, name: &str, content: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(format!("snapshots/{folder}"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, content));
}

/// No snapshot is left whose case is gone.
fn nothing_else_in(folder: &str, names: &BTreeSet<String>) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots").join(folder);
    let there = std::fs::read_dir(path).unwrap().map(|e| e.unwrap().file_name());
    let left: Vec<_> = there
        .filter_map(|n| n.to_str()?.strip_suffix(".snap").map(str::to_owned))
        .filter(|n| !names.contains(n))
        .collect();
    assert!(left.is_empty(), "snapshots without a case in {folder}: {left:?}");
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
    let profiles = ProfileStore::shipped();
    let mut names = BTreeSet::new();
    for (name, text) in folder("demo/captures") {
        let basis = Basis::of(&profiles);
        let explanation = Explanation::of(&text, Vec::new(), &basis, View::default()).unwrap();
        for (format, writer) in FORMATS {
            let name = format!("{name}.{format}");
            approved("demo", &name, &written(&explanation, writer));
            names.insert(name);
        }
    }
    nothing_else_in("demo", &names);
}

/// One snapshot a page, with its examples one after the other.
#[test]
fn examples_on_the_pages_of_the_rules() {
    let mut names = BTreeSet::new();
    for rule in rules::all() {
        let mut page = String::new();
        for kind in ["holds", "ruled-out", "open"] {
            let opened = format!("```{kind}\n");
            for (n, rest) in rule.page.split(&*opened).skip(1).enumerate() {
                let text = rest.split("```").next().unwrap();
                writeln!(page, "== {kind} {}\n{}", n + 1, brief_json(text)).unwrap();
            }
        }
        let name = rule.id.replace('/', "-");
        approved("rules", &name, &page);
        names.insert(name);
    }
    nothing_else_in("rules", &names);
}

/// Texts between lines that begin with `===`, each named by the difference that it shows.
#[test]
fn texts() {
    let mut names = BTreeSet::new();
    for (file, content) in folder("tests/texts") {
        for part in content.split("\n=== ").skip(1) {
            let (title, text) = part.split_once('\n').unwrap();
            let plain: String =
                title.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
            let words: Vec<_> = plain.split_whitespace().collect();
            let name = format!("{file}-{}", words.join("-").to_lowercase());
            approved("texts", &name, &format!("{title}\n{}", brief_json(text)));
            assert!(names.insert(name), "two texts are named `{title}`");
        }
    }
    nothing_else_in("texts", &names);
}
