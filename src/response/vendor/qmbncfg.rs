//! `+QMBNCFG`: the operator profile that is active.
//!
//! ```text
//! "List",<index>,<selected>,<active>,"<name>",<version>,<date>          "AutoSel",<0|1>
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QMBNCFG"], "+QMBNCFG=\"List\"", "the operator profile that is active", &[], read);

const SWITCH: Column = Column::Word(&["0", "1"]);
const LIST: &[Column] = &[
    Column::Word(&["List"]),
    Column::Figure,
    SWITCH,
    SWITCH,
    Column::Text,
    Column::Optional,
    Column::Rest,
];
const OTHER: &[Column] = &[Column::Text, Column::Text];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.fields().len() <= 2 {
            return w.row(reply, OTHER);
        }
        w.row(reply, LIST)?;
        let name = reply.fields()[4];
        // The end of a text may have cut a name without quotes.
        let whole = !name.text.is_empty() && (name.quoted || !reply.open);
        if reply.text(3) == "1" && whole {
            w.fact(Fact::OperatorProfile(name.text.into()), name.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QMBNCFG: "List",0,1,1,"Ember-Data",0x0501,201901"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::{of, says};

    #[test]
    fn only_the_active_profile_counts() {
        let active = of("+QMBNCFG", "\"List\",0,1,1,\"Ember-Data\",0x0501,201901");
        assert!(says(&active, &Fact::OperatorProfile("Ember-Data".into())));
        assert!(of("+QMBNCFG", "\"List\",1,0,0,\"Generic\",0x0501,201901").is_empty());
        assert!(of("+QMBNCFG", "\"AutoSel\",1").is_empty());
    }
}
