//! Every labelled sentence is read as its label says.

use super::*;

/// `words | phrase | label`, one a line: made up, each for one row of the rules above.
const SENTENCES: &str = include_str!("../../../tests/sentences/polarity.txt");

#[test]
fn every_labelled_sentence_is_read_as_its_label_says() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for row in SENTENCES.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()) {
        let mut parts = row.split(" | ");
        let (Some(sentence), Some(phrase), Some(label)) =
            (parts.next(), parts.next(), parts.next())
        else {
            panic!("a row has three parts: {row}");
        };
        count += 1;
        let start = sentence.to_lowercase().rfind(&phrase.to_lowercase()).expect(row);
        let by = super::super::voice::of(sentence);
        let read = match of(sentence, start, start + phrase.len(), by) {
            Polarity::Stated => "stated",
            Polarity::Negated => "negated",
            Polarity::Hypothetical => "hypothetical",
            Polarity::Past => "past",
            Polarity::Other => "other",
        };
        // What is not stated is never taken; why it is not is of no consequence.
        if (read == "stated") != (label == "stated") {
            wrong.push(format!("{row}: read as {read}"));
        }
    }
    assert!(count >= 200, "{count} sentences");
    assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
}
