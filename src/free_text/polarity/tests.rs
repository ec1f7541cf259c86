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

mod responses {
    use super::states_response as states;

    fn stated(line: &str) -> bool {
        let start = line.find('+').expect(line);
        let end = start + line[start..].find(['3', '1', '2']).expect(line) + 1;
        states(line, start..end)
    }

    #[test]
    fn what_this_modem_says_now_is_stated() {
        for line in [
            "it always says +CEREG: 0,3 when I connect",
            "when I send AT+CEREG? I get +CEREG: 0,2",
            "if I ask for it I get +CEREG: 0,2",
            "it seems to stay at +CEREG: 0,2, which means searching",
            "it does not register and I only see +CEREG: 0,3",
            "I expected 0,1 but get +CEREG: 0,3",
            "why does it say +CEREG: 0,3 all the time?",
            "I put the new SIM card in, it works, yet +CEREG: 0,2 stays",
            "after a second try I get +CEREG: 0,3 again",
            "this board says +CEREG: 0,3",
            "a message goes through, no net though, received +CEREG: 0,3",
            "the answer was +CEREG: 0,2",
        ] {
            assert!(stated(line), "{line}");
        }
    }

    #[test]
    fn what_is_assumed_quoted_denied_past_or_elsewhere_is_not() {
        for line in [
            "if it says +CEREG: 0,3 call us",
            "it should say +CEREG: 0,1",
            "we hope to see +CEREG: 0,1 soon",
            "the manual says +CEREG: 0,3 means denied",
            "for example +CEREG: 0,3 would be a refusal",
            "we do not see +CEREG: 0,3 any more",
            "I never get +CEREG: 0,1 here",
            "last week it said +CEREG: 0,3 all day",
            "it used to say +CEREG: 0,1 with the same card",
            "my other board says +CEREG: 0,1",
            "the second gateway gives +CEREG: 0,1",
            "a friend's modem shows +CEREG: 0,1 on the same mast",
            "I sometimes get +CEREG: 0,2",
            "before the update it was +CEREG: 0,1",
            "the script is waiting for +CEREG: 0,1 and stops",
        ] {
            assert!(!stated(line), "{line}");
        }
    }
}
