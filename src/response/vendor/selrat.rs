//! `!SELRAT`: the technologies that are allowed, as a number and words.
//!
//! ```text
//! !SELRAT: 06, LTE Only            the prefix may be missing
//! ```
//!
//! 00 automatic, 01 UMTS, 02 GSM, 06 LTE, 11 UMTS and LTE; other numbers name combinations, listed by the test form.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["!SELRAT"], "!SELRAT?", "technologies that are allowed", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut lines = reply.lines().filter(|l| !l.text.trim().is_empty());
        let Some(line) = lines.next() else { return Ok(()) };
        // The words behind the number are free.
        let number = line.text.split_once(',').map_or("", |(number, _)| number.trim());
        let span = Span::new(line.at, line.at + number.len());
        let field = Field { text: number, quoted: false, span };
        if w.labelled(Column::Own(mode), &field, false) { Ok(()) } else { Err(reply.no_form(0)) }
    })
}

fn mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "01" | "1" => &[Rat::Utra],
        "02" | "2" => &[Rat::Gsm],
        "06" | "6" => &[Rat::Lte],
        "11" => &[Rat::Utra, Rat::Lte],
        text if text.len() <= 2 && text.bytes().all(|b| b.is_ascii_hexdigit()) => return Ok(()),
        _ => return Err("a mode"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["!SELRAT: 06, LTE Only"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, of_block};

    #[test]
    fn technologies_come_with_or_without_their_prefix() {
        let lte = Fact::AllowedTechnologies(vec![Rat::Lte]);
        assert_eq!(of("!SELRAT", "06, LTE Only"), std::slice::from_ref(&lte));
        assert_eq!(of_block("!SELRAT", "", &["06, LTE Only"]), [lte]);
    }
}
