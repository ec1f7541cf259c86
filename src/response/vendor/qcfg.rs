//! `+QCFG`: bands and technology choice, one key a reply.
//!
//! ```text
//! "band",<GSM and UMTS mask>,<LTE mask>[,<third mask>]      hexadecimal, 0x or not
//! "nwscanmode",<number>     "iotopmode",<number>
//! ```
//!
//! The third mask is that of NB-IoT where it is not empty, and then the second is LTE-M's.

use crate::case::{Fact, Facts, Rat};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QCFG"],
    request: "+QCFG=\"band\"",
    source: "maker's command",
    about: "bands that are switched on, technologies that are allowed",
    yields: &[],
    read,
};

/// Bits of the first mask, in this family only; GSM bands are named by their frequency in MHz.
const BITS: &[(u64, Rat, u16)] = &[
    (0x1, Rat::Gsm, 900),
    (0x2, Rat::Gsm, 1800),
    (0x4, Rat::Gsm, 850),
    (0x8, Rat::Gsm, 1900),
    (0x10, Rat::Utra, 1),
    (0x20, Rat::Utra, 2),
    (0x40, Rat::Utra, 5),
    (0x80, Rat::Utra, 8),
    (0x100, Rat::Utra, 6),
    (0x200, Rat::Utra, 4),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let Some(value) = fields.get(1) else { return Read::UnknownForm };
    match fields[0].text.to_ascii_lowercase().as_str() {
        "band" => bands(&mut pen, &fields[1..]),
        "nwscanmode" => {
            let allowed: &[Rat] = match value.small() {
                Some(0) => return understood(pen),
                Some(1) => &[Rat::Gsm],
                Some(2) => &[Rat::Utra],
                Some(3) => &[Rat::Lte],
                Some(5) => &[Rat::Utra, Rat::Lte],
                _ => return Read::UnknownForm,
            };
            pen.fact(Fact::AllowedTechnologies(allowed.to_vec()), value.span);
        }
        // The order of these numbers is not verified against a second source.
        "iotopmode" | "nwscanseq" | "servicedomain" | "roamservice" => pen.understood(),
        _ => {}
    }
    pen.done()
}

fn understood(mut pen: FactWriter<'_>) -> Read {
    pen.understood();
    pen.done()
}

fn bands(pen: &mut FactWriter<'_>, masks: &[Field<'_>]) {
    if let Some(field) = masks.first()
        && let Some(mask) = field.hex()
    {
        for rat in [Rat::Gsm, Rat::Utra] {
            let on = bands::shared_mask(mask, BITS, rat);
            if !on.is_empty() {
                pen.fact(Fact::EnabledBands(rat, on), field.span);
            }
        }
    }
    let third = masks.get(2).and_then(|f| Some((f, bands::hex_mask(f.text)?)));
    let narrow = third.filter(|(_, on)| !on.is_empty());
    if let Some((field, on)) = masks.get(1).and_then(|f| Some((f, bands::hex_mask(f.text)?))) {
        let rat = if narrow.is_some() { Rat::LteM } else { Rat::Lte };
        pen.fact(Fact::EnabledBands(rat, on), field.span);
    }
    if let Some((field, on)) = narrow {
        pen.fact(Fact::EnabledBands(Rat::NbIot, on), field.span);
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says};

    #[test]
    fn masks_become_band_numbers() {
        let found = of("+QCFG", "\"band\",0x93,0x80800c5,0x0");
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![1, 3, 7, 8, 20, 28])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Gsm, vec![900, 1800])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Utra, vec![1, 8])));
    }

    #[test]
    fn a_third_mask_splits_the_two_narrow_technologies() {
        let found = of("+QCFG", "\"band\",0xf,0x100002000000000f0e189f,0x10004200000000090e189f");
        let narrow = vec![1, 2, 3, 4, 5, 8, 12, 13, 18, 19, 20, 25, 28, 66, 71, 85];
        assert!(says(&found, &Fact::EnabledBands(Rat::NbIot, narrow)));
        assert!(
            found
                .iter()
                .any(|f| matches!(f, Fact::EnabledBands(Rat::LteM, on) if on.contains(&66)))
        );
    }

    #[test]
    fn a_scan_mode_is_a_choice_of_technologies() {
        let found = of("+QCFG", "\"nwscanmode\",3");
        assert_eq!(found, [Fact::AllowedTechnologies(vec![Rat::Lte])]);
        assert!(of("+QCFG", "\"nwscanmode\",0").is_empty());
    }
}
