//! Band lists and masks: `%XBANDLOCK`, `+CBANDCFG`, `+CNBP`, `^SYSCFGEX`, `+UBANDMASK`,
//! `+KBNDCFG`, `+NBAND`, `+GTACT`, `+GTRAT`, `+XACT`, `^SCFG`.

use crate::case::{Fact, Facts, Rat};
use crate::response::bands::{self, GSM_UTRA_BITS};
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::{Family, Field, Form, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &[
        "+CBANDCFG",
        "%XBANDLOCK",
        "+CNBP",
        "^SYSCFGEX",
        "+UBANDMASK",
        "+KBNDCFG",
        "+NBAND",
        "+GTACT",
        "+GTRAT",
        "+XACT",
        "^SCFG",
    ],
    request: "+CBANDCFG?",
    source: "maker's command",
    about: "bands that are switched on",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let head = reply.head.to_ascii_uppercase();
    if reply.form == Form::Test && head == "+CBANDCFG" {
        return possible(reply, facts);
    }
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    match head.as_str() {
        "+CBANDCFG" => {
            let rat = names::technology(fields[0].text);
            if let (Some(rat), Some(on)) = (rat, bands::from_fields(&fields[1..])) {
                enabled(&mut pen, rat, on, fields.get(1));
            }
        }
        "%XBANDLOCK" => lock(&mut pen, fields),
        "+CNBP" => {
            if let Some((field, on)) =
                fields.get(1).and_then(|f| Some((f, bands::hex_mask(f.text)?)))
            {
                enabled(&mut pen, Rat::Lte, on, Some(field));
            }
        }
        "^SYSCFGEX" => order_and_masks(&mut pen, fields),
        "+UBANDMASK" => decimal_masks(&mut pen, fields),
        "+KBNDCFG" => {
            let rat = match fields[0].small() {
                Some(0) => Some(Rat::LteM),
                Some(1) => Some(Rat::NbIot),
                _ => None,
            };
            let mask = fields.get(1).and_then(|f| bands::hex_mask(f.text));
            if let (Some(rat), Some(on)) = (rat, mask) {
                enabled(&mut pen, rat, on, fields.get(1));
            }
        }
        "+NBAND" => {
            if let Some(on) = bands::from_fields(fields) {
                enabled(&mut pen, Rat::NbIot, on, fields.first());
            }
        }
        "^SCFG" => two_words(&mut pen, fields),
        _ => mixed(&mut pen, fields),
    }
    pen.done()
}

fn enabled(pen: &mut FactWriter<'_>, rat: Rat, on: Vec<u16>, field: Option<&Field<'_>>) {
    if let Some(field) = field {
        pen.fact(Fact::EnabledBands(rat, on), field.span);
    }
}

/// `(CAT-M,NB-IOT),(1,2,3)`: one list for all technologies named.
fn possible(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let mut pen = FactWriter::new(facts);
    if let [names, list] = fields {
        let numbers = bands::list(list.text.trim_matches(['(', ')']), ',');
        let names = names.text.trim_matches(['(', ')']);
        for rat in names.split(',').filter_map(|n| names::technology(n.trim_matches([' ', '"']))) {
            if let Some(numbers) = numbers.clone().filter(|n| !n.is_empty()) {
                pen.fact(Fact::SupportedBands(rat, numbers), list.span);
            }
        }
    }
    pen.done()
}

/// The permanent lock and that of this run; where both stand, a band needs both.
fn lock(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    let masks: Vec<_> = fields
        .iter()
        .filter(|f| !f.text.is_empty())
        .map(|f| (f, bands::binary_mask(f.text)))
        .collect();
    match masks.as_slice() {
        [] => pen.understood(),
        [(field, Some(on))] => enabled(pen, Rat::Lte, on.clone(), Some(field)),
        [(field, Some(first)), (_, Some(second))] => {
            let both = first.iter().copied().filter(|b| second.contains(b)).collect();
            enabled(pen, Rat::Lte, both, Some(field));
        }
        _ => {}
    }
}

/// `<order>,<GSM and UMTS mask>,<roam>,<domain>,<LTE mask>`
fn order_and_masks(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    const ALL: u64 = 0x3FFF_FFFF;
    const UNCHANGED: u64 = 0x4000_0000;
    const ALL_LTE: u64 = 0x7FFF_FFFF_FFFF_FFFF;
    let order = fields[0].text;
    if order.is_ascii() && !order.is_empty() && order.len().is_multiple_of(2) {
        let pair = |at: usize| match &order[at..at + 2] {
            "01" => Some(Rat::Gsm),
            "02" => Some(Rat::Utra),
            "03" => Some(Rat::Lte),
            "08" => Some(Rat::Nr),
            _ => None,
        };
        match (0..order.len()).step_by(2).map(pair).collect::<Option<Vec<_>>>() {
            Some(allowed) => pen.fact(Fact::AllowedTechnologies(allowed), fields[0].span),
            None if order == "00" || order == "99" => pen.understood(),
            None => return,
        }
    }
    if let Some((field, mask)) = fields.get(1).and_then(|f| Some((f, f.hex()?)))
        && mask != ALL
        && mask != UNCHANGED
    {
        for rat in [Rat::Gsm, Rat::Utra] {
            let on = bands::shared_mask(mask, GSM_UTRA_BITS, rat);
            if !on.is_empty() {
                enabled(pen, rat, on, Some(field));
            }
        }
    }
    if let Some((field, mask)) = fields.get(4).and_then(|f| Some((f, f.hex()?)))
        && mask != ALL_LTE
        && mask != UNCHANGED
    {
        enabled(pen, Rat::Lte, bands::number_mask(mask, 1).collect(), Some(field));
    }
}

/// `<rat>,<mask>[,<mask from band 65>][,<rat>,…]`: the number of fields tells the form.
fn decimal_masks(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    let words = match fields.len() {
        2 | 4 => 1,
        3 | 6 => 2,
        _ => return,
    };
    for group in fields.chunks(words + 1) {
        let rat = match group[0].small() {
            Some(0) => Rat::LteM,
            Some(1) => Rat::NbIot,
            _ => continue,
        };
        let masks: Option<Vec<u64>> = group[1..].iter().map(|f| f.text.parse().ok()).collect();
        let Some(masks) = masks else { continue };
        let on = masks.iter().zip([1, 65]).flat_map(|(m, first)| bands::number_mask(*m, first));
        enabled(pen, rat, on.collect(), Some(&group[1]));
    }
}

/// `"Radio/Band/CatM","<bands 1 to 32>","<bands from 33>"`: hexadecimal, the longer masks cut at 32
/// bits; other keys, and older firmware's single value, say nothing that is kept.
fn two_words(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    let key = fields[0].text.to_ascii_lowercase();
    let Some(key) = key.strip_prefix("radio/band/") else { return pen.understood() };
    let rat = match key {
        "4g" => Rat::Lte,
        "catm" => Rat::LteM,
        "catnb" => Rat::NbIot,
        _ => return pen.understood(),
    };
    let [_, low, high] = fields else { return pen.understood() };
    if let (Some(mut on), Some(more)) = (bands::hex_mask(low.text), bands::hex_mask(high.text)) {
        on.extend(more.into_iter().map(|b| b + 32));
        enabled(pen, rat, on, Some(low));
    }
}

/// `<mode>,<first>,<second>,<bands…>`: 100 is added for E-UTRA, NR numbers begin with 50.
fn mixed(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    let allowed: Option<&[Rat]> = match fields[0].small() {
        Some(1) => Some(&[Rat::Utra]),
        Some(2) => Some(&[Rat::Lte]),
        Some(4) => Some(&[Rat::Lte, Rat::Utra]),
        Some(14) => Some(&[Rat::Nr]),
        Some(16) => Some(&[Rat::Nr, Rat::Utra]),
        Some(17) => Some(&[Rat::Nr, Rat::Lte]),
        Some(10 | 20) => None,
        _ => return,
    };
    match allowed {
        Some(allowed) => pen.fact(Fact::AllowedTechnologies(allowed.to_vec()), fields[0].span),
        None => pen.understood(),
    }
    let codes: Option<Vec<_>> = fields
        .iter()
        .skip(3)
        .filter(|f| !f.is_blank())
        .map(|f| f.text.parse().ok().and_then(bands::offset))
        .collect();
    let Some(codes) = codes else { return };
    for rat in [Rat::Utra, Rat::Lte, Rat::Nr] {
        let on: Vec<u16> = codes.iter().filter(|(r, _)| *r == rat).map(|(_, b)| *b).collect();
        if !on.is_empty() {
            enabled(pen, rat, on, fields.get(3));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says, with_form};
    use crate::response::{Form, Read};

    #[test]
    fn a_list_is_enabled_when_read_and_supported_when_tested() {
        let found = of("+CBANDCFG", "\"CAT-M\",3,8,20");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![3, 8, 20])]);
        let (_, found) = with_form("+CBANDCFG", Form::Test, "(CAT-M,NB-IOT),(1,2,20)", &[]);
        assert!(says(&found, &Fact::SupportedBands(Rat::NbIot, vec![1, 2, 20])));
    }

    #[test]
    fn a_binary_lock_is_read_from_the_right_and_no_lock_limits_nothing() {
        assert_eq!(
            of("%XBANDLOCK", "\"10000001\",\"\""),
            [Fact::EnabledBands(Rat::Lte, vec![1, 8])]
        );
        assert_eq!(
            with_form("%XBANDLOCK", Form::Read, "\"\",\"\"", &[]),
            (Read::Understood, vec![])
        );
    }

    #[test]
    fn masks_beyond_64_bands_keep_their_number() {
        let found = of("+CNBP", "0x0,0x00000000000000420000000000000001,0x0");
        assert_eq!(found, [Fact::EnabledBands(Rat::Lte, vec![1, 66, 71])]);
        let found = of("+UBANDMASK", "0,1,2");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![1, 66])]);
        let found = of("+UBANDMASK", "0,128,1,524288");
        assert!(says(&found, &Fact::EnabledBands(Rat::NbIot, vec![20])));
    }

    #[test]
    fn an_order_names_the_technologies_and_full_masks_say_nothing() {
        let found = of("^SYSCFGEX", "\"080302\",2000000680380,1,2,1E200000095");
        assert!(says(&found, &Fact::AllowedTechnologies(vec![Rat::Nr, Rat::Lte, Rat::Utra])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![1, 3, 5, 8, 34, 38, 39, 40, 41])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Utra, vec![1, 8])));
        let all = with_form("^SYSCFGEX", Form::Read, "\"00\",3FFFFFFF,1,2,7FFFFFFFFFFFFFFF", &[]);
        assert_eq!(all, (Read::Understood, vec![]));
    }

    #[test]
    fn offset_codes_are_sorted_by_technology() {
        let found = of("+GTACT", "17,,,103,120,5078");
        assert!(says(&found, &Fact::EnabledBands(Rat::Lte, vec![3, 20])));
        assert!(says(&found, &Fact::EnabledBands(Rat::Nr, vec![78])));
    }

    #[test]
    fn a_mask_in_two_words_goes_on_with_band_33() {
        let found = of("^SCFG", "\"Radio/Band/CatM\",\"00080004\",\"0010000200000000\"");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![3, 20, 66, 85])]);
        let other = with_form("^SCFG", Form::Read, "\"Radio/OutputPowerReduction\",\"4\"", &[]);
        assert_eq!(other, (Read::Understood, vec![]));
    }

    #[test]
    fn the_same_three_numbers_come_under_several_heads() {
        let both = Fact::AllowedTechnologies(vec![Rat::Lte, Rat::Utra]);
        assert!(says(&of("+XACT", "4,2,1,1,8,103,120"), &both));
        let all = with_form("+GTRAT", Form::Read, "20,6,3", &[]);
        assert_eq!(all, (Read::Understood, vec![]));
    }

    #[test]
    fn lists_of_narrow_band_modems_are_read() {
        let found = of("+KBNDCFG", "0,0000000000000000000A");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![2, 4])]);
        assert_eq!(of("+NBAND", "5,8,20"), [Fact::EnabledBands(Rat::NbIot, vec![5, 8, 20])]);
    }
}
