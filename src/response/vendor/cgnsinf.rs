//! `+CGNSINF`: where the module's own receiver is.
//!
//! ```text
//! <run>,<fix>,<UTC>,<latitude>,<longitude>,<m>,<km/h>,<course>,<mode>,,<HDOP>,…
//! ```
//!
//! Without a fix the fields are empty, or the mark of the fix says so.

use super::family;
use crate::case::{Fact, Facts, Place};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::number;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CGNSINF"], "+CGNSINF", "where the module's own receiver is", &[], read);

const FORM: &[Column] = &[
    Column::Word(&["0", "1"]),
    Column::Word(&["0", "1", ""]),
    Column::Text,
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Figure,
    Column::Text,
    Column::Figure,
    Column::Figure,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        // A text that ends here may have lost the figures of the fix.
        if !reply.open
            && reply.text(1) == "1"
            && let Some(place) = place((reply.text(3), ""), (reply.text(4), ""))
        {
            let (altitude_m, hdop) = (number(reply.text(5)), number(reply.text(10)));
            w.fact(Fact::Place(Place { altitude_m, hdop, ..place }), reply.span);
        }
        Ok(())
    })
}

/// A place on the earth, from degrees as such, or degrees and minutes (`ddmm.mmmm`) where a letter names the side.
pub(super) fn place(latitude: (&str, &str), longitude: (&str, &str)) -> Option<Place> {
    let latitude = degrees(latitude.0, latitude.1).filter(|d| d.abs() <= 90.0)?;
    let longitude = degrees(longitude.0, longitude.1).filter(|d| d.abs() <= 180.0)?;
    Some(Place { latitude, longitude, altitude_m: None, hdop: None })
}

fn degrees(text: &str, side: &str) -> Option<f64> {
    let (digits, side) = match text.chars().next_back() {
        Some(letter) if letter.is_ascii_alphabetic() => text.split_at(text.len() - 1),
        _ => (text, side),
    };
    let value: f64 = digits.parse().ok().filter(|v: &f64| v.is_finite())?;
    let sign = match side.to_ascii_uppercase().as_str() {
        "" => return Some(value),
        "N" | "E" => 1.0,
        "S" | "W" => -1.0,
        _ => return None,
    };
    let whole = (value / 100.0).trunc();
    Some(sign * (whole + (value - whole * 100.0) / 60.0))
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+CGNSINF: 1,1,20260304101112.000,50.500000,-8.250000,212.5,0.00,0.0,1,,0.9,1.2,0.8,,9,7"];

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
    fn a_fix_has_a_place() {
        let info = "1,1,20260304101112.000,50.500000,-8.250000,212.5,0.00,0.0,1,,0.9,1.2,0.8,,9,7";
        assert_eq!(place("+CGNSINF", info), Some((50.5, -8.25, Some(212.5), Some(0.9))));
        assert_eq!(place("+CGNSINF", "1,0,20260304101112.000,,,,0.00,0.0,0,,,,,,9,0"), None);
        assert_eq!(place("+CGNSINF", "1,1,x,99.0,8.0,1.0,0,0,1,,0.9,1.2,0.8,,9,7"), None);
    }
}
