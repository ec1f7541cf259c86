//! Whether a response that a person writes into a sentence is one of this modem now.
//!
//! Its text is the modem's own, so that words of a guess or an explanation around it take nothing away: `it seems to
//! stay at +CEREG: 0,2, which means searching`. What counts are a condition or wish before it, a manual, a denial right
//! before it, the past, and another device.

use super::{has, words};
use crate::reference::word_lists::{List, words_of};
use std::ops::Range;

/// Whether the response at a place of a sentence is stated of this modem now.
pub(crate) fn states(line: &str, place: Range<usize>) -> bool {
    const BREAKS: [&str; 10] =
        [". ", "! ", "? ", "; ", " but ", " however", " although ", ", now ", " got ", " instead "];
    let lower = line.to_ascii_lowercase();
    let start = place.start.min(lower.len());
    let end = place.end.min(lower.len());
    let begins = BREAKS
        .iter()
        .filter_map(|mark| lower[..start].rfind(mark).map(|at| at + mark.len()))
        .max()
        .unwrap_or(0);
    let ends = BREAKS.iter().filter_map(|mark| lower[end..].find(mark)).min();
    let before = words(&line[begins..start]);
    let behind = words(&line[end..ends.map_or(line.len(), |at| end + at)]);
    let near = last_words(&before, 3);
    let conditional =
        has(&before, words_of(List::Condition)) && !has(&before, words_of(List::Trial));
    let denied = has(near, words_of(List::DenialNear))
        || ["no", "without", "nor"].contains(&last_words(&before, 1))
        || has(&behind, &["any more", "anymore", "no longer", "is gone", "never comes"]);
    let past = |words: &str| {
        has(words, words_of(List::PastTime)) && !has(words, &["still", "again", "always"])
    };
    let other = other_device(&before) || other_device(&behind);
    !(conditional
        || has(&before, words_of(List::Book))
        || denied
        || past(&before)
        || past(&behind)
        || other)
}

fn last_words(words: &str, count: usize) -> &str {
    let from = words.rmatch_indices(' ').nth(count - 1).map_or(0, |(at, _)| at + 1);
    &words[from..]
}

/// Whether words speak of another device: `my other board`, `the second one`.
fn other_device(words: &str) -> bool {
    let words: Vec<&str> = words.split(' ').collect();
    let here = words
        .windows(2)
        .any(|pair| pair[0] == "this" && words_of(List::DeviceNoun).contains(&pair[1]));
    let other = words.iter().enumerate().any(|(at, word)| {
        words_of(List::OtherAdjective).contains(word)
            && words[at + 1..].iter().take(2).any(|next| words_of(List::DeviceNoun).contains(next))
    });
    other && !here
}

#[cfg(test)]
mod tests {
    use super::states;

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
