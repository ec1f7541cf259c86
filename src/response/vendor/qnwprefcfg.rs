//! `+QNWPREFCFG`, `+QNWLOCK`, `+QNWCFG`: technologies and bands by key, and the lock to single cells.
//!
//! Band lists are decimal, joined by `:`; `policy_band` and `ue_capability_band` tell what is
//! possible, the others what is switched on.

use crate::case::{Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};
use crate::response::{bands, names};

pub(super) static FAMILY: Family = Family {
    heads: &["+QNWPREFCFG", "+QNWLOCK", "+QNWCFG"],
    request: "+QNWPREFCFG=\"lte_band\"",
    source: "maker's command",
    about: "technologies and bands that are switched on, and the lock to single cells",
    yields: &[Quantity::TimingAdvance],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let Some(value) = fields.get(1) else { return Read::UnknownForm };
    let key = fields[0].text.to_ascii_lowercase();
    if reply.is("+QNWLOCK") {
        if key.starts_with("common/") && value.int().is_some() {
            // A lone 0 is "no lock"; a lock names its cell in the fields that follow.
            let locked = fields.len() > 2;
            if locked || value.int() == Some(0) {
                pen.fact(Fact::CellLock(locked), value.span);
            }
        }
        return pen.done();
    }
    if reply.is("+QNWCFG") {
        // The value stands there only where its report is switched on.
        match (key.as_str(), fields.get(2)) {
            ("lte_time_advance", Some(value)) => pen.plain(Quantity::TimingAdvance, Some(value)),
            _ => pen.understood(),
        }
        return pen.done();
    }
    let rat = match key.as_str() {
        "lte_band" => Some(Rat::Lte),
        "nr5g_band" | "nsa_nr5g_band" => Some(Rat::Nr),
        _ => None,
    };
    match (rat, key.as_str()) {
        (Some(rat), _) => {
            if let Some(list) = bands::list(value.text, ':') {
                // Asked for a limit, the modem answers with the same keys.
                let request = reply.request.to_ascii_lowercase();
                let limit =
                    ["policy_band", "ue_capability_band"].iter().any(|k| request.contains(k));
                let fact = if limit {
                    Fact::SupportedBands(rat, list)
                } else {
                    Fact::EnabledBands(rat, list)
                };
                pen.fact(fact, value.span);
            }
        }
        (None, "mode_pref") => {
            if value.text.eq_ignore_ascii_case("AUTO") {
                pen.understood();
            } else if let Some(allowed) = value.text.split(':').map(names::technology).collect() {
                pen.fact(Fact::AllowedTechnologies(allowed), value.span);
            }
        }
        (
            None,
            "roam_pref" | "srv_domain" | "ue_usage_setting" | "voice_domain" | "rat_acq_order"
            | "rat_order_pref" | "nr5g_disable_mode" | "gw_band" | "policy_band"
            | "ue_capability_band",
        ) => pen.understood(),
        _ => {}
    }
    pen.done()
}

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

    #[test]
    fn a_lock_names_its_cell_and_a_lone_zero_is_none() {
        assert_eq!(of("+QNWLOCK", "\"common/4g\",1,1300,246"), [Fact::CellLock(true)]);
        assert_eq!(of("+QNWLOCK", "\"common/4g\",0"), [Fact::CellLock(false)]);
    }
}
