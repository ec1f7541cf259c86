//! The words of a fleet, each kept once, in one text: a word costs its letters and 13 bytes.

use foldhash::fast::RandomState;
use hashbrown::HashTable;
use std::hash::BuildHasher;

/// A word that is kept once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Word(u32);

/// The words.
#[derive(Debug, Default)]
pub(super) struct Words {
    text: String,
    /// Where each word ends; it begins where the one before it ends.
    ends: Vec<usize>,
    known: HashTable<Word>,
    hash: RandomState,
}

fn slice<'w>(text: &'w str, ends: &[usize], word: Word) -> &'w str {
    let place = word.0 as usize;
    let begins = place.checked_sub(1).map_or(0, |before| ends[before]);
    &text[begins..ends[place]]
}

impl Words {
    /// Keeps a word, if it is not kept yet.
    pub(super) fn keep(&mut self, new: &str) -> Word {
        let Self { text, ends, known, hash } = self;
        let found = known.find(hash.hash_one(new), |word| slice(text, ends, *word) == new);
        if let Some(word) = found {
            return *word;
        }
        // Words of a run are far fewer than 2^32: each takes more than a byte of memory.
        let word = Word(u32::try_from(ends.len()).unwrap_or(u32::MAX));
        text.push_str(new);
        ends.push(text.len());
        known.insert_unique(hash.hash_one(new), word, |w| hash.hash_one(slice(text, ends, *w)));
        word
    }

    /// A word that is kept already.
    pub(super) fn find(&self, text: &str) -> Option<Word> {
        let same = |word: &Word| self.text(*word) == text;
        self.known.find(self.hash.hash_one(text), same).copied()
    }

    /// The letters of a word that these words gave.
    pub(super) fn text(&self, word: Word) -> &str {
        slice(&self.text, &self.ends, word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_kept_once_and_reads_back() {
        let mut words = Words::default();
        let texts: Vec<String> = (0..1000).map(|n| format!("word {}", n % 500)).collect();
        let kept: Vec<Word> = texts.iter().map(|text| words.keep(text)).collect();
        assert_eq!(words.ends.len(), 500);
        assert!(texts.iter().zip(&kept).all(|(text, word)| words.text(*word) == text));
        assert_eq!((words.find("word 7"), words.find("word")), (Some(kept[7]), None));
        let nothing = words.keep("");
        assert_eq!(words.text(nothing), "");
    }
}
