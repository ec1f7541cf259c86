//! Words of a sentence, as people write them between dialogue.

/// How many words of a sentence stand in a text.
pub fn words(text: &str) -> usize {
    text.split([' ', '\t', ',', '.', '/'])
        .filter(|w| {
            let w = w.trim_matches(['(', ')', '"', '\'', '`', '!', '?', ':', ';', '*']);
            w.chars().count() >= 2 && w.chars().all(|c| c.is_alphabetic() || c == '\'' || c == '-')
        })
        .count()
}
