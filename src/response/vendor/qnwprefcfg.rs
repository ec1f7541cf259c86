//! `+QNWPREFCFG`: technologies and bands by key.
//!
//! ```text
//! "mode_pref",AUTO|<technology>[:…]        "lte_band"|"nsa_nr5g_band"|"nr5g_band",<band>[:…]
//! "roam_pref",<n>                           1 home only, 3 affiliated networks, 255 any
//! ```
//!
//! `policy_band` and `ue_capability_band` in the request ask for what is possible; the modem answers with the keys of
//! the lists. Other keys are known and say nothing that is kept.

use super::family;
use crate::case::{Fact, Facts, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, bands, names};

pub(super) static FAMILY: Family = family(
    &["+QNWPREFCFG"],
    "+QNWPREFCFG=\"lte_band\"",
    "technologies and bands that are switched on",
    &[],
    read,
);

const KEY: Column = Column::Text;
const MODES: &[Column] = &[KEY, Column::Own(modes)];
const LIST: &[Column] = &[KEY, Column::Own(list)];
const ROAMING: &[Column] = &[KEY, Column::Own(roaming)];
const OTHER: &[Column] = &[KEY, Column::Text, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let rat = match reply.text(0).to_ascii_lowercase().as_str() {
            "lte_band" => Rat::Lte,
            "nr5g_band" | "nsa_nr5g_band" => Rat::Nr,
            // The end of a text may have cut a list without quotes.
            "mode_pref" if reply.open && !reply.fields()[reply.fields().len() - 1].quoted => {
                return Err(reply.no_form(1));
            }
            "mode_pref" => return w.row(reply, MODES),
            "roam_pref" => return w.row(reply, ROAMING),
            "srv_domain" | "ue_usage_setting" | "voice_domain" | "rat_acq_order"
            | "rat_order_pref" | "nr5g_disable_mode" | "gw_band" => return w.row(reply, OTHER),
            _ => return Err(reply.no_form(0)),
        };
        w.row(reply, LIST)?;
        let field = reply.fields()[1];
        // The end of a text may have cut the list.
        let Some(bands) = bands::list(field.text, ':').filter(|_| !reply.open || field.quoted)
        else {
            return Ok(());
        };
        let request = reply.request.to_ascii_lowercase();
        let limit = ["policy_band", "ue_capability_band"].iter().any(|k| request.contains(k));
        let fact =
            if limit { Fact::SupportedBands(rat, bands) } else { Fact::EnabledBands(rat, bands) };
        w.fact(fact, field.span);
        Ok(())
    })
}

fn list(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    bands::list(field.text, ':').map(|_| ()).ok_or("bands joined by colons")
}

fn modes(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    if field.text.eq_ignore_ascii_case("AUTO") {
        return Ok(());
    }
    let allowed: Option<Vec<Rat>> = field.text.split(':').map(names::technology).collect();
    w.fact(Fact::AllowedTechnologies(allowed.ok_or("technologies joined by colons")?), field.span);
    Ok(())
}

fn roaming(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match field.text {
        "1" | "255" => w.fact(Fact::RoamingAllowed(field.text == "255"), field.span),
        "3" => {}
        _ => return Err("1, 3 or 255"),
    }
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &[r#"+QNWPREFCFG: "lte_band",1:3:20"#, r#"+QNWPREFCFG: "mode_pref",LTE:NR5G"#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says};

    #[test]
    fn lists_and_modes_are_read_by_their_key() {
        let bands = of("+QNWPREFCFG", "\"nr5g_band\",1:3:78");
        assert!(says(&bands, &Fact::EnabledBands(Rat::Nr, vec![1, 3, 78])));
        let modes = of("+QNWPREFCFG", "\"mode_pref\",LTE:NR5G");
        assert!(says(&modes, &Fact::AllowedTechnologies(vec![Rat::Lte, Rat::Nr])));
        assert!(of("+QNWPREFCFG", "\"mode_pref\",AUTO").is_empty());
    }
}
