//! `+CGPSINFO`: where the module's own receiver is; from memory.
//!
//! ```text
//! <ddmm.mmmm>,<N|S>,<dddmm.mmmm>,<E|W>,<date>,<UTC>,<m>,<speed>,<course>          empty without a fix
//! ```

use super::cgnsinf::place;
use super::family;
use crate::case::{Fact, Facts, Place};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::number;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CGPSINFO"], "+CGPSINFO", "where the module's own receiver is", &[], read);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Word(&["N", "S", ""]),
    Column::Figure,
    Column::Word(&["E", "W", ""]),
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let text = |n: usize| reply.text(n);
        if let Some(place) = place((text(0), text(1)), (text(2), text(3))) {
            let altitude_m = number(text(6));
            w.fact(Fact::Place(Place { altitude_m, ..place }), reply.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+CGPSINFO: 5030.000000,N,00815.000000,W,040326,101112.0,212.5,0.0,0.0"];

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
    fn degrees_and_minutes_have_their_side() {
        let info = "5030.000000,N,00815.000000,W,040326,101112.0,212.5,0.0,0.0";
        assert_eq!(place("+CGPSINFO", info), Some((50.5, -8.25, Some(212.5), None)));
        assert_eq!(place("+CGPSINFO", ",,,,,,,,"), None);
    }
}
