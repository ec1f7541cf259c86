//! Which readings can find something in a line of words, told in one pass over the line.

use super::causes;
use super::host::HOST;
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
    pub(super) const REASON: Self = Self(1 << 6);
    pub(super) const CAUSE: Self = Self(1 << 7);
    pub(super) const SILENCE: Self = Self(1 << 8);
    pub(super) const BANDS: Self = Self(1 << 9);
    pub(super) const RESTARTS: Self = Self(1 << 10);
    /// The first bit for the rows of [`HOST`], which follow each other.
    const HOST: usize = 11;

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
const WORDS: [(&str, Readings); 39] = [
    ("+CREG", Readings::REGISTRATION),
    ("+CGREG", Readings::REGISTRATION),
    ("+CEREG", Readings::REGISTRATION),
    ("+C5GREG", Readings::REGISTRATION),
    (super::status::LABELS[0], Readings::STATUS),
    (super::status::LABELS[1], Readings::STATUS),
    (super::status::LABELS[2], Readings::STATUS),
    ("signal", Readings::SIGNAL),
    ("csq", Readings::SIGNAL),
    ("rssi", Readings::SIGNAL),
    ("rsrp", Readings::SIGNAL),
    ("rsrq", Readings::SIGNAL),
    // `sinr`, by letters that few other words have.
    ("inr", Readings::SIGNAL),
    ("snr", Readings::SIGNAL),
    ("rscp", Readings::SIGNAL),
    ("ec/", Readings::SIGNAL),
    ("ecio", Readings::SIGNAL),
    ("apn", Readings::NAME),
    ("pin", Readings::PIN),
    ("cause", Readings::CAUSE),
    ("card", Readings::CARD),
    ("sim", Readings::CARD),
    ("uicc", Readings::CARD),
    ("band", Readings::BANDS),
    ("+cfun", Readings::REGISTRATION),
    ("rebooti", Readings::RESTARTS),
    ("reboots", Readings::RESTARTS),
    ("restarti", Readings::RESTARTS),
    ("restarts", Readings::RESTARTS),
    ("resets", Readings::RESTARTS),
    ("loop", Readings::RESTARTS),
    ("seller", Readings::CARD),
    ("carrier", Readings::CARD),
    ("operator", Readings::CARD),
    ("provider", Readings::CARD),
    ("respon", Readings::SILENCE),
    ("answer", Readings::SILENCE),
    ("reply", Readings::SILENCE),
    // `nothing`, by letters that few other words have.
    ("hing", Readings::SILENCE),
];

/// A letter as a number below 32, capital and small ones alike.
const fn letter(b: u8) -> usize {
    (b & 0x1f) as usize
}

/// The word of this place among [`WORDS`], those of [`causes`] and the first ones of [`HOST`],
/// one list behind the other.
const fn word(at: usize) -> &'static str {
    const CAUSES: usize = WORDS.len() + causes::WORDS.len();
    if at < WORDS.len() {
        WORDS[at].0
    } else if at < CAUSES {
        causes::WORDS[at - WORDS.len()]
    } else {
        HOST[at - CAUSES].0[0]
    }
}

/// What the word of this place is there for.
fn reading(at: usize) -> Readings {
    let causes = WORDS.len() + causes::WORDS.len();
    match WORDS.get(at) {
        Some((_, reading)) => *reading,
        None if at < causes => Readings::REASON,
        None => Readings::host(at - causes),
    }
}

/// How many words there are.
const COUNT: usize = WORDS.len() + causes::WORDS.len() + HOST.len();

/// A bit for the first three letters of each word: a look before the costly one.
const BEGINNINGS: [u64; 512] = {
    let mut bits = [0; 512];
    let mut at = 0;
    while at < COUNT {
        let [a, b, c, ..] = word(at).as_bytes() else {
            panic!("a word of less than three letters")
        };
        let three = letter(*a) << 10 | letter(*b) << 5 | letter(*c);
        bits[three / 64] |= 1 << (three % 64);
        at += 1;
    }
    bits
};

/// The readings that can find something in a line, whatever its case.
pub(super) fn readings(line: &str) -> Readings {
    static SEARCH: LazyLock<AhoCorasick> = LazyLock::new(|| {
        AhoCorasick::builder()
            .ascii_case_insensitive(true)
            .build((0..COUNT).map(word))
            .expect("a list of short words fits an automaton")
    });
    // No branch a byte, and no byte waits for the one before: nearly every line of words is read to
    // its end.
    let (_, _, begun) = line.bytes().fold((0, 0, 0), |(first, second, begun), b| {
        let third = letter(b);
        let three = first << 10 | second << 5 | third;
        (second, third, begun | BEGINNINGS[three / 64] >> (three % 64))
    });
    if begun & 1 == 0 {
        return Readings(0);
    }
    let found = SEARCH.find_overlapping_iter(line).map(|found| reading(found.pattern().as_usize()));
    Readings(found.fold(0, |all, reading| all | reading.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_found_wherever_it_stands() {
        assert!(Readings::HOST + HOST.len() <= 128);
        for at in 0..COUNT {
            let (word, reading) = (word(at), reading(at));
            for line in [
                word.to_ascii_lowercase(),
                format!("it printed so{} there", word.to_ascii_uppercase()),
            ] {
                assert!(readings(&line).holds(reading), "{line}");
            }
        }
        assert!(readings("not one of them").is_empty());
    }
}
