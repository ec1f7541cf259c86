//! Which readings can find something in a line of words, told in one pass over the line.

use super::host_words::HOST;
use aho_corasick::AhoCorasick;
use std::sync::LazyLock;

/// What a word in a line is there for: which of the readings can find something.
#[derive(Clone, Copy)]
pub(super) struct Readings(u128);

impl Readings {
    pub(super) const REGISTRATION: Self = Self(1);
    pub(super) const STATUS: Self = Self(1 << 1);
    pub(super) const SIGNAL: Self = Self(1 << 2);
    pub(super) const NAME: Self = Self(1 << 3);
    pub(super) const PIN: Self = Self(1 << 4);
    pub(super) const CARD: Self = Self(1 << 5);
    /// The first bit for the rows of [`HOST`], which follow each other.
    const HOST: usize = 6;

    /// One row of [`HOST`].
    pub(super) const fn host(row: usize) -> Self {
        Self(1 << (Self::HOST + row))
    }

    pub(super) const fn holds(self, reading: Self) -> bool {
        self.0 & reading.0 != 0
    }

    /// Whether nothing can be found.
    pub(super) const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Whether a row of [`HOST`] can be found.
    pub(super) const fn of_host(self) -> bool {
        self.0 >> Self::HOST != 0
    }
}

/// Words without which a reading finds nothing.
const WORDS: [(&str, Readings); 16] = [
    ("+CREG", Readings::REGISTRATION),
    ("+CGREG", Readings::REGISTRATION),
    ("+CEREG", Readings::REGISTRATION),
    ("+C5GREG", Readings::REGISTRATION),
    (super::status_words::LABEL, Readings::STATUS),
    ("signal", Readings::SIGNAL),
    ("csq", Readings::SIGNAL),
    ("rssi", Readings::SIGNAL),
    ("apn", Readings::NAME),
    ("pin", Readings::PIN),
    ("card", Readings::CARD),
    ("sim", Readings::CARD),
    ("seller", Readings::CARD),
    ("carrier", Readings::CARD),
    ("operator", Readings::CARD),
    ("provider", Readings::CARD),
];

/// The first three letters of a word as a number, capital and small ones alike.
const fn letters(before: usize, next: u8) -> usize {
    (before << 5 | (next & 0x1f) as usize) & 0x7fff
}

/// A bit for the first three letters of each word: a look before the costly one.
const BEGINNINGS: [u64; 512] = {
    let mut bits = [0; 512];
    let mut at = 0;
    while at < WORDS.len() + HOST.len() {
        let word = if at < WORDS.len() { WORDS[at].0 } else { HOST[at - WORDS.len()].0[0] };
        let [a, b, c, ..] = word.as_bytes() else { panic!("a word of less than three letters") };
        let three = letters(letters(letters(0, *a), *b), *c);
        bits[three / 64] |= 1 << (three % 64);
        at += 1;
    }
    bits
};

/// The readings that can find something in a line, whatever its case.
pub(super) fn readings(line: &str) -> Readings {
    static SEARCH: LazyLock<AhoCorasick> = LazyLock::new(|| {
        let first = HOST.iter().map(|(words, _)| words[0]);
        AhoCorasick::builder()
            .ascii_case_insensitive(true)
            .build(WORDS.iter().map(|(word, _)| *word).chain(first))
            .expect("a list of short words fits an automaton")
    });
    let mut three = 0;
    let begins = |b: u8| {
        three = letters(three, b);
        BEGINNINGS[three / 64] >> (three % 64) & 1 == 1
    };
    if !line.bytes().any(begins) {
        return Readings(0);
    }
    let found = SEARCH.find_overlapping_iter(line).map(|found| {
        let word = found.pattern().as_usize();
        WORDS.get(word).map_or_else(|| Readings::host(word - WORDS.len()), |(_, reading)| *reading)
    });
    Readings(found.fold(0, |all, reading| all | reading.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_found_wherever_it_stands() {
        assert!(Readings::HOST + HOST.len() <= 128);
        for (n, (words, _)) in HOST.iter().enumerate() {
            let line = format!("it printed: {} there", words[0].to_ascii_uppercase());
            assert!(readings(&line).holds(Readings::host(n)), "{line}");
        }
        for (word, reading) in WORDS {
            for line in [word.to_ascii_lowercase(), format!("so{}", word.to_ascii_uppercase())] {
                assert!(readings(&line).holds(reading), "{line}");
            }
        }
        assert!(readings("nothing of all this").is_empty());
    }
}
