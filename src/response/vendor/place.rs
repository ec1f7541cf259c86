//! `+CGNSINF`, `+CGPSINFO`, `+QGPSLOC`, `$GPSACP`: where the module's own receiver says it is.
//!
//! ```text
//! +CGNSINF: <run>,<fix>,<UTC>,<latitude>,<longitude>,<m>,<km/h>,<course>,<mode>,,<HDOP>,…
//! +CGPSINFO: <ddmm.mmmm>,<N|S>,<dddmm.mmmm>,<E|W>,<date>,<UTC>,<m>,<speed>,<course>
//! +QGPSLOC: <UTC>,<latitude>,<longitude>,<HDOP>,<m>,<fix>,…      degrees, or ddmm.mmmm with a letter
//! $GPSACP: <UTC>,<ddmm.mmmmN>,<dddmm.mmmmE>,<HDOP>,<m>,<fix>,…
//! ```
//!
//! The first is read in two places; the others are from memory. Without a fix the fields are empty,
//! or the mark of the fix says so.

use crate::case::{Fact, Facts, Place};
use crate::response::fact_writer::number;
use crate::response::{Family, Field, Form, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+CGNSINF", "+CGPSINFO", "+QGPSLOC", "$GPSACP"],
    request: "+CGNSINF",
    source: "maker's command",
    about: "where the module's own receiver says it is",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test {
        return Read::Understood;
    }
    let fields = reply.fields();
    let at = |n: usize| fields.get(n);
    let amount = |n: usize| at(n).and_then(|f| number(f.text));
    let place = if reply.is("+CGNSINF") {
        if fields.len() < 5 {
            return Read::UnknownForm;
        }
        let fixed = at(1).is_some_and(|f| f.text == "1");
        place(at(3), at(4), "", "").filter(|_| fixed).map(|p| p.with(amount(5), amount(10)))
    } else if reply.is("+CGPSINFO") {
        if fields.len() < 4 {
            return Read::UnknownForm;
        }
        let side = |n: usize| at(n).map_or("", |f| f.text);
        place(at(0), at(2), side(1), side(3)).map(|p| p.with(amount(6), None))
    } else {
        // One field alone is a setting of the receiver, not a place.
        if fields.len() < 5 {
            return Read::UnknownForm;
        }
        // Modes of the fix: 0 and 1 none, 2 and 3 flat and in space.
        let fixed = at(5).is_none_or(|f| !matches!(f.text, "0" | "1"));
        place(at(1), at(2), "", "").filter(|_| fixed).map(|p| p.with(amount(4), amount(3)))
    };
    if let Some(place) = place {
        facts.push(Fact::Place(place), reply.span);
    }
    Read::Understood
}

impl Place {
    const fn with(self, altitude_m: Option<f64>, hdop: Option<f64>) -> Self {
        Self { altitude_m, hdop, ..self }
    }
}

fn place(
    latitude: Option<&Field<'_>>,
    longitude: Option<&Field<'_>>,
    north: &str,
    east: &str,
) -> Option<Place> {
    let latitude = degrees(latitude?.text, north).filter(|d| d.abs() <= 90.0)?;
    let longitude = degrees(longitude?.text, east).filter(|d| d.abs() <= 180.0)?;
    Some(Place { latitude, longitude, altitude_m: None, hdop: None })
}

/// Degrees as such, or degrees and minutes (`ddmm.mmmm`) where a letter names the side.
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
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    fn place(head: &str, body: &str) -> Option<(f64, f64, Option<f64>, Option<f64>)> {
        match of(head, body).as_slice() {
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
        let info = "1,1,20260304101112.000,50.500000,-8.250000,212.5,0.00,0.0,1,,0.9,1.2,0.8,,9,7";
        assert_eq!(place("+CGNSINF", info), there);
        let loc = "101112.0,5030.0000N,00815.0000W,0.9,212.5,3,000.00,0.0,0.0,040326,07";
        assert_eq!(place("+QGPSLOC", loc), there);
        assert_eq!(
            place("+QGPSLOC", "101112.0,50.50000,-8.25000,0.9,212.5,3,0.0,0.0,0.0,040326,07"),
            there
        );
        assert_eq!(place("$GPSACP", loc), there);
        let info = "5030.000000,N,00815.000000,W,040326,101112.0,212.5,0.0,0.0";
        assert_eq!(place("+CGPSINFO", info), Some((50.5, -8.25, Some(212.5), None)));
    }

    #[test]
    fn without_a_fix_there_is_no_place() {
        assert_eq!(place("+CGNSINF", "1,0,20260304101112.000,,,,0.00,0.0,0,,,,,,9,0"), None);
        assert_eq!(place("+CGPSINFO", ",,,,,,,,"), None);
        assert_eq!(place("$GPSACP", ",,,,,1,,,,,"), None);
        assert_eq!(place("+CGNSINF", "1,1,x,99.0,8.0,1.0,0,0,1,,0.9"), None);
    }
}
