//! Technologies in use or allowed, as small numbers and words: `+URAT`, `*CNTI`, `#PSNT`, `#BND`.

use crate::case::{Fact, Facts, Rat};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+URAT", "*CNTI", "#PSNT", "#BND"],
    request: "+URAT?",
    source: "maker's command",
    about: "technologies and bands that are allowed, or the technology in use",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    match reply.head.to_ascii_uppercase().as_str() {
        "+URAT" => {
            // The numbers up to 6 differ between generations and name combinations; from memory.
            let allowed: Option<Vec<Rat>> = row
                .iter()
                .map(|f| match f.text.trim().parse::<u8>() {
                    Ok(0 | 9) => Some(Rat::Gsm),
                    Ok(2) => Some(Rat::Utra),
                    Ok(3) => Some(Rat::Lte),
                    Ok(7) => Some(Rat::LteM),
                    Ok(8) => Some(Rat::NbIot),
                    _ => None,
                })
                .collect();
            match allowed {
                Some(allowed) if !allowed.is_empty() => {
                    pen.fact(Fact::AllowedTechnologies(allowed), reply.span);
                }
                _ => pen.understood(),
            }
        }
        "*CNTI" => {
            let Some(word) = row.get(1) else { return Read::UnknownForm };
            match names::technology(&word.text.to_ascii_uppercase()) {
                Some(rat) => pen.fact(Fact::Technology(rat), word.span),
                None => pen.understood(),
            }
        }
        "#PSNT" => match row.last().and_then(|f| f.small()) {
            Some(0 | 1) => pen.fact(Fact::Technology(Rat::Gsm), reply.span),
            Some(2 | 3) => pen.fact(Fact::Technology(Rat::Utra), reply.span),
            Some(4) => pen.fact(Fact::Technology(Rat::Lte), reply.span),
            _ => pen.understood(),
        },
        _ => {
            // The first two are enumerations of combinations; older firmware prints the third in
            // decimal, which a digit above nine rules out.
            let Some(mask) = row.get(2) else {
                pen.understood();
                return pen.done();
            };
            let hex = mask.text.bytes().any(|b| b.is_ascii_alphabetic()) || row.len() > 3;
            let bands = if hex {
                bands::hex_mask(mask.text)
            } else {
                mask.text.parse::<u64>().ok().map(|m| bands::number_mask(m, 1).collect())
            };
            let Some(mut bands) = bands.filter(|b| !b.is_empty()) else { return Read::UnknownForm };
            if let Some(more) = row.get(3).and_then(|f| bands::hex_mask(f.text)) {
                bands.extend(more.into_iter().map(|b| b + 64));
            }
            pen.fact(Fact::EnabledBands(Rat::Lte, bands), mask.span);
        }
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says};

    #[test]
    fn numbers_and_words_become_technologies() {
        assert_eq!(of("+URAT", "7 ,8"), [Fact::AllowedTechnologies(vec![Rat::LteM, Rat::NbIot])]);
        assert_eq!(of("*CNTI", "0,LTE"), [Fact::Technology(Rat::Lte)]);
        assert_eq!(of("#PSNT", "0,4"), [Fact::Technology(Rat::Lte)]);
        let bands = of("#BND", "0,22,A7E2BB0F38DF,42");
        assert!(
            matches!(&bands[0], Fact::EnabledBands(Rat::Lte, b) if b.contains(&20) && b.contains(&66) && b.contains(&71))
        );
        assert!(!says(&bands, &Fact::Technology(Rat::Lte)));
    }
}
