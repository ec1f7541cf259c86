//! `+QCFG`: settings, one key a response.
//!
//! ```text
//! "band",<GSM and UTRA mask>,<LTE mask>[,<third mask>]      hexadecimal, 0x or not
//! "nwscanmode",<n>      0 automatic, 1 GSM, 2 UTRA, 3 LTE, 5 UTRA and LTE
//! "iotopmode",<n>       0 LTE-M, 1 NB-IoT, 2 both
//! "servicedomain",<n>   0 circuit, 1 packet, 2 both
//! "roamservice",<n>     1 off, 2 on, 255 automatic
//! ```
//!
//! The third mask is that of NB-IoT where it is not empty, and then the second is LTE-M's; `0x0` there is TD-SCDMA's.
//! The numbers of the last three keys are from memory; of `"iotopmode"` none is claimed.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands};

pub(super) static FAMILY: Family = family(
    &["+QCFG"],
    "+QCFG=\"band\"",
    "bands that are switched on, technologies that are allowed",
    &[],
    read,
);

const KEY: Column = Column::Text;
const MASK: Column =
    Column::Own(|_, f| bands::hex_mask(f.text).map(|_| ()).ok_or("a mask of bands"));
const BANDS: [&[Column]; 2] = [&[KEY, MASK, MASK], &[KEY, MASK, MASK, MASK]];
const SCAN_MODE: &[Column] = &[KEY, Column::Own(scan_mode)];
const ROAMING: &[Column] = &[KEY, Column::Own(roaming)];
const NUMBER: &[Column] = &[KEY, Column::Digits];
const OTHER: &[Column] = &[KEY, Column::Optional, Column::Rest];

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
    whole(reply, facts, |w, reply| {
        let fields = reply.fields().len();
        match (reply.text(0).to_ascii_lowercase().as_str(), fields) {
            ("band", 3 | 4) => {
                w.row(reply, BANDS[fields - 3])?;
                // The third mask tells what the second is, and a cut text may have lost it or some digits.
                if !reply.open {
                    masks(w, reply);
                }
                Ok(())
            }
            ("nwscanmode", 2) => w.row(reply, SCAN_MODE),
            ("roamservice", 2) => w.row(reply, ROAMING),
            ("iotopmode" | "servicedomain" | "nwscanseq", 2) => w.row(reply, NUMBER),
            ("band" | "nwscanmode" | "roamservice", _) => Err(reply.no_form(1)),
            // Settings that do not bear on the attach.
            _ if reply.fields()[0].quoted => w.row(reply, OTHER),
            _ => Err(reply.no_form(0)),
        }
    })
}

fn scan_mode(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let allowed: &[Rat] = match field.text {
        "0" => return Ok(()),
        "1" => &[Rat::Gsm],
        "2" => &[Rat::Utra],
        "3" => &[Rat::Lte],
        "5" => &[Rat::Utra, Rat::Lte],
        _ => return Err("a scan mode"),
    };
    w.fact(Fact::AllowedTechnologies(allowed.to_vec()), field.span);
    Ok(())
}

fn roaming(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match field.text {
        "1" | "2" => w.fact(Fact::RoamingAllowed(field.text == "2"), field.span),
        "255" => {}
        _ => return Err("1, 2 or 255"),
    }
    Ok(())
}

fn masks(w: &mut FactWriter<'_>, reply: &Response<'_>) {
    let masks = &reply.fields()[1..];
    if let Some(mask) = masks[0].hex() {
        for rat in [Rat::Gsm, Rat::Utra] {
            let on = bands::shared_mask(mask, BITS, rat);
            if !on.is_empty() {
                w.fact(Fact::EnabledBands(rat, on), masks[0].span);
            }
        }
    }
    let third = masks.get(2).and_then(|f| Some((f, bands::hex_mask(f.text)?)));
    let narrow = third.filter(|(_, on)| !on.is_empty());
    if let Some(on) = bands::hex_mask(masks[1].text) {
        let rat = if narrow.is_some() { Rat::LteM } else { Rat::Lte };
        w.fact(Fact::EnabledBands(rat, on), masks[1].span);
    }
    if let Some((field, on)) = narrow {
        w.fact(Fact::EnabledBands(Rat::NbIot, on), field.span);
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+QCFG: "band",0x93,0x80800c5,0x0"#,
    r#"+QCFG: "nwscanmode",3"#,
    r#"+QCFG: "roamservice",1"#,
];

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
