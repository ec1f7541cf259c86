//! The network that a program's log or a page names as the one in use, by its code.
//!
//! ```text
//! plmn 00101        current-plmn   001/01 "Lowland"        mcc=001 mnc=01        registered home 999-70
//! ```
//!
//! TS 23.003 §2.2: three digits of country, two or three of network. Common practice, no source, how they are parted.

use super::words::split;
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::reference::countries::country;
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Reads a line in small letters, of a host; `base` is where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    let count = lower.bytes().filter(u8::is_ascii_digit).count();
    if count < 2 || words_of(List::OtherNetworkCode).iter().any(|word| lower.contains(word)) {
        return;
    }
    let tokens = split(lower, |c| c.is_ascii_alphanumeric() || matches!(c, '-' | '/'));
    let mut before = "";
    for (at, token) in tokens.iter().enumerate() {
        let span = Span::new(base + token.start, base + token.end);
        let word = |quantity, text: &str| Fact::word(quantity, text.into(), Cell::Serving);
        let ends_in = |name: &str| before.rsplit(['-', '/']).next() == Some(name);
        let is_number = token.text.bytes().all(|b| b.is_ascii_digit());
        let labelled = words_of(List::NetworkCodeLabel).iter().any(|label| ends_in(label));
        // `PLMN  999 70`: the two parts with a blank between.
        let next = tokens.get(at + 1).filter(|next| labelled && next.start == token.end + 1);
        let two = || next.and_then(|next| digits(token.text, next.text));
        if ends_in("mcc") && is_number && token.text.len() == 3 {
            facts.push(word(Quantity::Mcc, token.text), span);
        } else if ends_in("mnc") && is_number && token.text != "0" && token.text.len() <= 3 {
            facts.push(word(Quantity::Mnc, token.text), span);
        } else if let Some((mcc, mnc)) = parted(token.text)
            .or_else(two)
            .filter(|(mcc, _)| is_country(mcc))
            .or_else(|| Some(token.text).filter(|_| ends_in("plmn")).and_then(joined))
            .or_else(|| {
                let code = Some(token.text).filter(|_| labelled).and_then(joined);
                code.filter(|(mcc, _)| is_country(mcc))
            })
        {
            facts.push(word(Quantity::Mcc, mcc), span);
            facts.push(word(Quantity::Mnc, mnc), span);
            return;
        }
        if !matches!(token.text, "on" | "code" | "id" | "is") {
            before = token.text;
        }
    }
}

/// `001-01`, `001/01`.
fn parted(text: &str) -> Option<(&str, &str)> {
    let (mcc, mnc) = text.split_once(['-', '/'])?;
    digits(mcc, mnc)
}

/// Three digits, and two or three.
fn digits<'t>(mcc: &'t str, mnc: &'t str) -> Option<(&'t str, &'t str)> {
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    (mcc.len() == 3 && matches!(mnc.len(), 2 | 3) && digits(mcc) && digits(mnc))
        .then_some((mcc, mnc))
}

/// `00101`: digits without a mark between, which count behind a label only.
fn joined(text: &str) -> Option<(&str, &str)> {
    let fits = matches!(text.len(), 5 | 6) && text.bytes().all(|b| b.is_ascii_digit());
    fits.then(|| text.split_at(3))
}

/// Test networks (ITU-T E.212 annex A) and those of a country.
fn is_country(mcc: &str) -> bool {
    matches!(mcc, "001" | "999") || country(mcc).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::{Reading, Value};

    fn code(line: &str) -> String {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        let word = |fact: Fact| match fact {
            Fact::Reading(Reading { value: Value::Word(word), .. }) => Some(word.to_string()),
            _ => None,
        };
        facts.drain().filter_map(|(fact, _)| word(fact)).collect::<Vec<_>>().join("-")
    }

    #[test]
    fn the_network_in_use_is_read() {
        for line in [
            "wwan0: registered home 999-70, lte",
            "plmn: \"99970\"",
            "plmn=99970",
            "current-plmn    999/70 \"Meadow\"",
            "mcc = 999, mnc = 70",
        ] {
            assert_eq!(code(line), "999-70", "{line}");
        }
    }

    #[test]
    fn other_codes_and_numbers_are_none() {
        for line in [
            "home of card  99970",
            "heard 999-70, 001-01",
            "selection: manual, 999-70",
            "call 555-0100",
            "reports 120-40 a day",
            "plmn unknown",
        ] {
            assert_eq!(code(line), "", "{line}");
        }
    }
}
