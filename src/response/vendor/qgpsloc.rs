//! `+QGPSLOC`, `$GPSACP`: where the module's own receiver is; from memory.
//!
//! ```text
//! +QGPSLOC: <UTC>,<latitude>,<longitude>,<HDOP>,<m>,<fix>,…      degrees, or ddmm.mmmm with a letter
//! $GPSACP: <UTC>,<ddmm.mmmmN>,<dddmm.mmmmE>,<HDOP>,<m>,<fix>,…
//! ```
//!
//! Modes of the fix: 0 and 1 none, 2 and 3 flat and in space.

use super::cgnsinf::place;
use super::family;
use crate::case::{Fact, Facts, Place};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::number;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QGPSLOC", "$GPSACP"], "+QGPSLOC=2", "where the module's own receiver is", &[], read);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Text,
    Column::Text,
    Column::Figure,
    Column::Figure,
    Column::Word(&["0", "1", "2", "3", ""]),
    Column::Figure,
    Column::Rest,
];
/// One field alone is a setting of the receiver, not a place.
const SETTING: &[Column] = &[Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.fields().len() == 1 {
            return w.row(reply, SETTING);
        }
        w.row(reply, FORM)?;
        // A text that ends here may have lost the figures of the fix.
        if !reply.open
            && matches!(reply.text(5), "2" | "3")
            && let Some(place) = place((reply.text(1), ""), (reply.text(2), ""))
        {
            let (hdop, altitude_m) = (number(reply.text(3)), number(reply.text(4)));
            w.fact(Fact::Place(Place { altitude_m, hdop, ..place }), reply.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+QGPSLOC: 101112.0,5030.0000N,00815.0000W,0.9,212.5,3,000.00,0.0,0.0,040326,07"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    fn place(prefix: &str, body: &str) -> Option<(f64, f64, Option<f64>, Option<f64>)> {
        match of(prefix, body).as_slice() {
            [Fact::Place(p)] => {
                let round = |d: f64| (d * 1e6).round() / 1e6;
                Some((round(p.latitude), round(p.longitude), p.altitude_m, p.hdop))
            }
            [] => None,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_form_gives_the_same_place() {
        let there = Some((50.5, -8.25, Some(212.5), Some(0.9)));
        let loc = "101112.0,5030.0000N,00815.0000W,0.9,212.5,3,000.00,0.0,0.0,040326,07";
        assert_eq!(place("+QGPSLOC", loc), there);
        assert_eq!(
            place("+QGPSLOC", "101112.0,50.50000,-8.25000,0.9,212.5,3,0.0,0.0,0.0,040326,07"),
            there
        );
        assert_eq!(place("$GPSACP", loc), there);
        assert_eq!(place("$GPSACP", ",,,,,1,,,,,"), None);
    }
}
