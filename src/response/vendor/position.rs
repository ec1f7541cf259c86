//! Where the module's own receiver is: `+CGNSINF`, `+CGPSINFO`, `+QGPSLOC`, `$GPSACP`; the last three from memory.
//!
//! ```text
//! +CGNSINF: <run>,<fix>,<UTC>,<latitude>,<longitude>,<m>,<km/h>,<course>,<mode>,,<HDOP>,…
//! +CGPSINFO: <ddmm.mmmm>,<N|S>,<dddmm.mmmm>,<E|W>,<date>,<UTC>,<m>,<speed>,<course>          empty without a fix
//! +QGPSLOC: <UTC>,<latitude>,<longitude>,<HDOP>,<m>,<fix>,…      degrees, or ddmm.mmmm with a letter
//! $GPSACP: <UTC>,<ddmm.mmmmN>,<dddmm.mmmmE>,<HDOP>,<m>,<fix>,…
//! ```
//!
//! Without a fix the fields are empty, or its mark says so: 0 and 1 none, 2 and 3 flat and in space.

use super::family;
use crate::case::{Fact, Facts, Place};
use crate::response::columns::Column::{self, Figure, Rest, Text, Word};
use crate::response::columns::whole;
use crate::response::fact_writer::number;
#[cfg(test)]
use crate::response::table::Example;
use crate::response::{Family, FieldError, Read, Response};

const ABOUT: &str = "where the module's own receiver is";

pub(super) const FAMILIES: &[&Family] = &[
    &family(&["+CGNSINF"], "+CGNSINF", ABOUT, &[], |reply, facts| read(reply, facts, navigation)),
    &family(&["+CGPSINFO"], "+CGPSINFO", ABOUT, &[], |reply, facts| read(reply, facts, sides)),
    &family(&["+QGPSLOC", "$GPSACP"], "+QGPSLOC=2", ABOUT, &[], |reply, facts| {
        read(reply, facts, location)
    }),
];

const NAVIGATION: &[Column] = &[
    Word(&["0", "1"]),
    Word(&["0", "1", ""]),
    Text,
    Figure,
    Figure,
    Figure,
    Figure,
    Figure,
    Figure,
    Text,
    Figure,
    Figure,
    Rest,
];
const SIDES: &[Column] = &[
    Figure,
    Word(&["N", "S", ""]),
    Figure,
    Word(&["E", "W", ""]),
    Figure,
    Figure,
    Figure,
    Figure,
    Figure,
];
const LOCATION: &[Column] =
    &[Figure, Text, Text, Figure, Figure, Word(&["0", "1", "2", "3", ""]), Figure, Rest];
/// One field alone is a setting of the receiver, not a place.
const SETTING: &[Column] = &[Figure];

/// The columns of a response, and the place in it where there is a fix.
type Fix = (&'static [Column], Option<Place>);

fn read(reply: &Response<'_>, facts: &mut Facts, fix: fn(&Response<'_>) -> Fix) -> Read {
    whole(reply, facts, |w, reply| -> Result<(), FieldError> {
        let (form, place) = fix(reply);
        w.row(reply, form)?;
        // A text that ends here may have lost the figures of the fix.
        if let Some(place) = place.filter(|_| !reply.open) {
            w.fact(Fact::Place(place), reply.span);
        }
        Ok(())
    })
}

fn navigation(reply: &Response<'_>) -> Fix {
    let fix = (reply.text(1) == "1").then_some(reply);
    let place = fix.and_then(|r| place((r.text(3), ""), (r.text(4), "")));
    let (altitude_m, hdop) = (number(reply.text(5)), number(reply.text(10)));
    (NAVIGATION, place.map(|place| Place { altitude_m, hdop, ..place }))
}

fn sides(reply: &Response<'_>) -> Fix {
    let text = |n: usize| reply.text(n);
    let place = place((text(0), text(1)), (text(2), text(3)));
    (SIDES, place.map(|place| Place { altitude_m: number(text(6)), ..place }))
}

fn location(reply: &Response<'_>) -> Fix {
    if reply.fields().len() == 1 {
        return (SETTING, None);
    }
    let fix = matches!(reply.text(5), "2" | "3").then_some(reply);
    let place = fix.and_then(|r| place((r.text(1), ""), (r.text(2), "")));
    let (hdop, altitude_m) = (number(reply.text(3)), number(reply.text(4)));
    (LOCATION, place.map(|place| Place { altitude_m, hdop, ..place }))
}

/// A place on the earth, from degrees as such, or degrees and minutes (`ddmm.mmmm`) where a letter names the side.
fn place(latitude: (&str, &str), longitude: (&str, &str)) -> Option<Place> {
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
fn there(hdop: Option<f64>) -> Vec<Fact> {
    vec![Fact::Place(Place { latitude: 50.5, longitude: -8.25, altitude_m: Some(212.5), hdop })]
}

#[cfg(test)]
pub(super) static EXAMPLES: &[Example] = &[
    (
        "+CGNSINF: 1,1,20260304101112.000,50.500000,-8.250000,212.5,0.00,0.0,1,,0.9,1.2,0.8,,9,7",
        || there(Some(0.9)),
    ),
    ("+CGNSINF: 1,0,20260304101112.000,,,,0.00,0.0,0,,,,,,9,0", Vec::new),
    ("+CGNSINF: 1,1,x,99.0,8.0,1.0,0,0,1,,0.9,1.2,0.8,,9,7", Vec::new),
    ("+CGPSINFO: 5030.000000,N,00815.000000,W,040326,101112.0,212.5,0.0,0.0", || there(None)),
    ("+CGPSINFO: ,,,,,,,,", Vec::new),
    ("+QGPSLOC: 101112.0,5030.0000N,00815.0000W,0.9,212.5,3,000.00,0.0,0.0,040326,07", || {
        there(Some(0.9))
    }),
    ("+QGPSLOC: 101112.0,50.50000,-8.25000,0.9,212.5,3,0.0,0.0,0.0,040326,07", || there(Some(0.9))),
    ("$GPSACP: 101112.0,5030.0000N,00815.0000W,0.9,212.5,3,000.00,0.0,0.0,040326,07", || {
        there(Some(0.9))
    }),
    ("$GPSACP: ,,,,,1,,,,,", Vec::new),
];
