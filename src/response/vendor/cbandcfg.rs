//! `+CBANDCFG`: the bands that are switched on, a list for each technology.
//!
//! ```text
//! read  "CAT-M",3,8,20            "NB-IOT",…
//! test  (CAT-M,NB-IOT),(1,2,3)    one list for all technologies named
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::names::technology;
use crate::response::{Family, Field, Form, Read, Response, bands};

pub(super) static FAMILY: Family =
    family(&["+CBANDCFG"], "+CBANDCFG?", "bands that are switched on", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test {
        return possible(reply, facts);
    }
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let rat = technology(row[0].text).ok_or_else(|| reply.no_form(0))?;
        let mut form = vec![Column::Text];
        form.resize(row.len().max(2), Column::Own(band));
        w.row(reply, &form)?;
        let on = bands::from_fields(&row[1..]).ok_or_else(|| reply.no_form(1))?;
        // The text may have lost the bands that follow.
        if !reply.open {
            w.fact(Fact::EnabledBands(rat, on), row[1].span);
        }
        Ok(())
    })
}

fn band(_: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    bands::from_fields(std::slice::from_ref(field)).map(|_| ()).ok_or("a band")
}

fn possible(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if let [names, list] = reply.fields()
        && let Some(numbers) = bands::list(list.text.trim_matches(['(', ')']), ',')
        // A closing bracket at the end of a line may have been taken for that of a frame.
        && list.text.starts_with('(')
        && !reply.open
        && !numbers.is_empty()
    {
        let names = names.text.trim_matches(['(', ')']).split(',');
        for rat in names.filter_map(|n| technology(n.trim_matches([' ', '"']))) {
            facts.push(Fact::SupportedBands(rat, numbers.clone()), list.span);
        }
    }
    Read::Understood
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CBANDCFG: "CAT-M",3,8,20"#];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat};
    use crate::response::sample::{of, says, with_form};

    use crate::response::Form;

    #[test]
    fn a_list_is_enabled_when_read_and_supported_when_tested() {
        let found = of("+CBANDCFG", "\"CAT-M\",3,8,20");
        assert_eq!(found, [Fact::EnabledBands(Rat::LteM, vec![3, 8, 20])]);
        let (_, found) = with_form("+CBANDCFG", Form::Test, "(CAT-M,NB-IOT),(1,2,20)", &[]);
        assert!(says(&found, &Fact::SupportedBands(Rat::NbIot, vec![1, 2, 20])));
        assert_eq!(of("+CBANDCFG", "\"CAT-M\",3,8,2x"), []);
    }
}
