//! `!BAND`, `!SELRAT`, `!GETBAND`: the band set in use, the technologies, and the band in use.
//!
//! ```text
//! Index, Name,                      GW Band Mask     L Band Mask      TDS Band Mask
//! 06, Europe                        0002000000400000 00000000000800C5 0000000000000000
//! ```

use crate::case::{Fact, Facts, Quantity, Rat};
use crate::response::bands::{self, GSM_UTRA_BITS};
use crate::response::fact_writer::FactWriter;
use crate::response::{ContinuationLine, Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["!BAND", "!SELRAT", "!GETBAND"],
    request: "!BAND?",
    source: "maker's command",
    about: "the bands and technologies that are switched on, as stored sets, and the band in use",
    yields: &[Quantity::Band],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    // The stored sets that could be chosen say nothing of the one that is.
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let first = reply.fields()[0];
    if reply.is("!GETBAND") {
        if let Some(number) = bands::named(reply.body) {
            pen.value(Quantity::Band, f64::from(number), first.span);
        }
    } else if reply.is("!SELRAT") {
        let field = if first.text.is_empty() { numbered(reply.tail) } else { Some(first) };
        if let Some(field) = field {
            technologies(&mut pen, field);
        }
    } else {
        let rows: Vec<_> = reply.tail.iter().filter_map(masks).collect();
        // Several rows are the list of sets after all.
        if let [words] = rows.as_slice() {
            set(&mut pen, words);
        } else {
            pen.understood();
        }
    }
    pen.done()
}

/// The number that begins the first row.
fn numbered<'t>(tail: &[ContinuationLine<'t>]) -> Option<Field<'t>> {
    let line = tail.first()?;
    crate::response::fields(line.text, line.span.start).first().copied()
}

fn technologies(pen: &mut FactWriter<'_>, field: Field<'_>) {
    let allowed: &[Rat] = match field.small() {
        Some(0) => return pen.understood(),
        Some(1) => &[Rat::Utra],
        Some(6) => &[Rat::Lte],
        Some(11) => &[Rat::Utra, Rat::Lte],
        _ => return,
    };
    pen.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
}

/// The words of sixteen hexadecimal digits in a row, two at least.
fn masks<'t>(line: &ContinuationLine<'t>) -> Option<Vec<(&'t str, Span)>> {
    let words: Vec<_> = line
        .text
        .split_whitespace()
        .filter(|w| w.len() == 16 && w.bytes().all(|b| b.is_ascii_hexdigit()))
        .map(|w| {
            let start = line.span.start + (w.as_ptr() as usize - line.text.as_ptr() as usize);
            (w, Span::new(start, start + w.len()))
        })
        .collect();
    (words.len() >= 2).then_some(words)
}

fn set(pen: &mut FactWriter<'_>, words: &[(&str, Span)]) {
    if let Ok(mask) = u64::from_str_radix(words[0].0, 16) {
        for rat in [Rat::Gsm, Rat::Utra] {
            let on = bands::shared_mask(mask, GSM_UTRA_BITS, rat);
            if !on.is_empty() {
                pen.fact(Fact::EnabledBands(rat, on), words[0].1);
            }
        }
    }
    if let Some(on) = bands::hex_mask(words[1].0) {
        pen.fact(Fact::EnabledBands(Rat::Lte, on), words[1].1);
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity, Rat};
    use crate::response::sample::{numbers, of, of_block, says, with_form};
    use crate::response::{Form, Read};

    const EUROPE: &str =
        "06, Europe                        0002000000400000 00000000000800C5 0000000000000000";

    #[test]
    fn the_set_in_use_names_its_bands() {
        let found = of_block("!BAND", "", &["Index, Name", EUROPE]);
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![1, 3, 7, 8, 20])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Utra, vec![1, 8])));
    }

    #[test]
    fn the_list_of_all_sets_says_nothing_of_the_one_in_use() {
        let other = "00, All bands  0002000007C00000 00000100130818DF 0000000000000000";
        let several = with_form("!BAND", Form::Read, "", &[other, EUROPE]);
        assert_eq!(several, (Read::Understood, vec![]));
        assert_eq!(with_form("!BAND", Form::Test, "", &[EUROPE]).1, []);
    }

    #[test]
    fn technologies_come_with_or_without_their_header() {
        let lte = Fact::AllowedTechnologies(vec![Rat::Lte]);
        assert_eq!(of("!SELRAT", "06, LTE Only"), std::slice::from_ref(&lte));
        assert_eq!(of_block("!SELRAT", "", &["06, LTE Only"]), [lte]);
        assert_eq!(numbers(&of("!GETBAND", "LTE B2"), Quantity::Band), [2.0]);
    }
}
