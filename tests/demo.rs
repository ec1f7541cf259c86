//! Every capture of the demo gives the finding that its table names.

use mastside::capture::{Capture, decode};
use mastside::case::Case;
use std::path::Path;

/// The rows of the table: file and finding.
fn table() -> Vec<(String, String)> {
    let readme = std::fs::read_to_string(folder().join("README.md")).unwrap();
    readme
        .lines()
        .filter_map(|line| {
            let mut cells = line.strip_prefix("| ")?.split(" | ");
            let file = cells.next()?.trim();
            file.ends_with(".txt")
                .then(|| (file.to_owned(), cells.next().unwrap().trim().to_owned()))
        })
        .collect()
}

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures"))
}

#[test]
fn every_capture_gives_the_finding_of_the_table() {
    let wrong: Vec<_> = table()
        .into_iter()
        .filter_map(|(file, wanted)| {
            let bytes = std::fs::read(folder().join(&file)).unwrap();
            let text = decode(&bytes).unwrap();
            let found = mastside::verdict::explain(&Case::read(&Capture::new(&text))).id();
            (found != wanted).then(|| format!("{file}: {found}, not {wanted}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_table_and_the_folder_hold_the_same_files() {
    let mut there: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.ends_with(".txt"))
        .collect();
    there.sort();
    let mut named: Vec<_> = table().into_iter().map(|(file, _)| file).collect();
    named.sort();
    assert_eq!(there, named);
    assert!(there.len() >= 15);
}

/// A line that is dropped may leave the text less telling; it must not tell another sure cause.
#[test]
fn dropping_any_line_never_makes_another_cause_certain() {
    let mut wrong = Vec::new();
    for (file, wanted) in table() {
        let bytes = std::fs::read(folder().join(&file)).unwrap();
        let text = decode(&bytes).unwrap();
        let lines: Vec<_> = text.lines().collect();
        for drop in 0..lines.len() {
            let rest: Vec<_> =
                lines.iter().enumerate().filter(|(i, _)| *i != drop).map(|(_, l)| *l).collect();
            let rest = rest.join("\n");
            let verdict = mastside::verdict::explain(&Case::read(&Capture::new(&rest)));
            let certain = verdict.certainty == mastside::rules::Certainty::Certain;
            // What the dropped line explained stands alone now; that is not another cause.
            let known = mastside::rules::find(&wanted).is_some_and(|r| {
                mastside::rules::find(verdict.id()).is_some_and(|v| r.explains(v))
            });
            if certain && verdict.id() != wanted && verdict.id() != "connected" && !known {
                wrong.push(format!("{file} without `{}`: {}", lines[drop], verdict.id()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
