//! `+CSQ` and `+CESQ`: received levels as indices into fixed steps.
//!
//! TS 27.007 §8.5 and §8.69; the steps are in [`crate::reference::index`]. A level is given by the lower edge of its step.
//!
//! ```text
//! +CSQ: <rssi>,<ber>
//! +CESQ: <rxlev>,<ber>,<rscp>,<ecno>,<rsrq>,<rsrp>[,<ss_rsrq>,<ss_rsrp>,<ss_sinr>]
//! ```

use crate::case::{Cell, Fact, Facts, Quantity};
use crate::reference::index;
use crate::response::grammar::{self, Input, Parsed, Spanned, next, number};
use crate::response::{Family, FieldError, Read, Response};
use crate::span::Span;
use std::fmt;

pub(crate) static CSQ: Family = Family {
    prefixes: &["+CSQ", "CSQ"],
    request: "+CSQ",
    source: "TS 27.007 §8.5",
    about: "signal strength index",
    yields: &[Quantity::Rssi],
    read: csq,
};
pub(crate) static CESQ: Family = Family {
    prefixes: &["+CESQ", "CESQ"],
    request: "+CESQ",
    source: "TS 27.007 §8.69; TS 36.133 §9.1.4",
    about: "level and quality for the technology in use",
    yields: &[
        Quantity::Rxlev,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rsrq,
        Quantity::Rsrp,
        Quantity::Sinr,
    ],
    read: cesq,
};

/// A `+CSQ` response.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Csq {
    /// The index 0..=31, or 99.
    pub rssi: Spanned<u8>,
    /// The class of bit errors; some modems leave it out.
    pub ber: Option<Spanned<u8>>,
}

impl Csq {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, rssi) = number("rssi", 0..=199)(input)?;
            let (rest, ber) = grammar::optional(number("ber", 0..=99))(rest)?;
            // One digit alone may be the first of two.
            if ber.is_none() && *rssi < 10 {
                return grammar::next("ber", number("ber", 0..=99))(rest)
                    .map(|(rest, ber)| (rest, Self { rssi, ber: Some(ber) }));
            }
            Ok((rest, Self { rssi, ber }))
        })
    }
}

impl fmt::Display for Csq {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CSQ: {}", self.rssi)?;
        self.ber.map_or(Ok(()), |ber| write!(f, ",{ber}"))
    }
}

fn csq(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() {
        return Read::Understood;
    }
    match Csq::parse(reply) {
        Ok(csq) => strength(*csq.rssi, reply.span, facts),
        Err(error) => Read::Misread(error),
    }
}

/// Notes the level of an index (TS 27.007 §8.5).
pub(crate) fn strength(index: u8, span: Span, facts: &mut Facts) -> Read {
    match index {
        99 => facts.push(Fact::no_value(Quantity::Rssi, Cell::Serving), span),
        _ => match index::map("csq").and_then(|map| map.level(index.into())) {
            Some(level) => {
                facts.number(Quantity::Rssi, level, Cell::Serving, span);
            }
            // Some vendors add 100 for other technologies.
            None => return Read::UnknownForm,
        },
    }
    Read::Understood
}

/// The fields of `+CESQ` in order: what they measure and the name of their index; bit errors have no quantity.
const FIELDS: [(&str, Option<(Quantity, &str)>); 9] = [
    ("rxlev", Some((Quantity::Rxlev, "rxlev"))),
    ("ber", None),
    ("rscp", Some((Quantity::Rscp, "rscp"))),
    ("ecno", Some((Quantity::EcNo, "ecno"))),
    ("rsrq", Some((Quantity::Rsrq, "rsrq"))),
    ("rsrp", Some((Quantity::Rsrp, "rsrp"))),
    ("ss_rsrq", Some((Quantity::Rsrq, "ss-rsrq"))),
    ("ss_rsrp", Some((Quantity::Rsrp, "ss-rsrp"))),
    ("ss_sinr", Some((Quantity::Sinr, "ss-sinr"))),
];

/// A `+CESQ` response.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cesq {
    /// The six indices of GSM, UTRA and E-UTRA in the order of the clause.
    pub indices: [Spanned<u8>; 6],
    /// The three indices of NR.
    pub nr: Option<[Spanned<u8>; 3]>,
}

impl Cesq {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, indices) = row(&FIELDS[..6], true, input)?;
            let (rest, nr) = match grammar::comma(rest) {
                None => (rest, None),
                Some(_) => row(&FIELDS[6..], false, rest).map(|(rest, nr)| (rest, Some(nr)))?,
            };
            Ok((rest, Self { indices, nr }))
        })
    }

    fn all(&self) -> impl Iterator<Item = &Spanned<u8>> {
        self.indices.iter().chain(self.nr.iter().flatten())
    }
}

fn row<'t, const N: usize>(
    fields: &[(&'static str, Option<(Quantity, &str)>)],
    first: bool,
    mut input: Input<'t>,
) -> Parsed<'t, [Spanned<u8>; N]> {
    let mut row = [Spanned::from(0); N];
    for (at, (index, (name, _))) in row.iter_mut().zip(fields).enumerate() {
        let reader = number(name, 0..=u8::MAX);
        (input, *index) =
            if first && at == 0 { reader(input)? } else { next(name, reader)(input)? };
    }
    Ok((input, row))
}

impl fmt::Display for Cesq {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, index) in self.all().enumerate() {
            write!(f, "{}{index}", if at == 0 { "+CESQ: " } else { "," })?;
        }
        Ok(())
    }
}

fn cesq(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() {
        return Read::Understood;
    }
    let note = |cesq: Cesq| {
        for (index, (_, measured)) in cesq.all().zip(FIELDS) {
            let Some((quantity, name)) = measured else { continue };
            let Some(map) = index::map(name) else { continue };
            if u16::from(**index) == map.unknown {
                facts.push(Fact::no_value(quantity, Cell::Serving), index.span);
            } else if let Some(level) = map.level((**index).into()) {
                facts.number(quantity, level, Cell::Serving, index.span);
            }
        }
    };
    Cesq::parse(reply).map(note).into()
}

/// The `+CESQ` index of a level; `nth` counts the fields of that quantity from 0 (E-UTRA before NR).
pub(crate) fn index_of(quantity: Quantity, nth: usize, level: f64) -> Option<u8> {
    let (_, name) =
        FIELDS.iter().filter_map(|(_, measured)| *measured).filter(|m| m.0 == quantity).nth(nth)?;
    let map = index::map(name)?;
    (0..=u8::MAX).rev().find(|index| map.level((*index).into()) == Some(level))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::Form;
    use crate::response::standard::tests::{facts_of, with_response};
    use proptest::prelude::*;

    #[test]
    fn worked_values_of_the_clauses() {
        // TS 36.133 table 9.1.4-1: RSRP_48 is -93 dBm <= RSRP < -92 dBm; table 9.1.7-1: RSRQ_20 is
        // -10 dB <= RSRQ < -9.5 dB. TS 27.007 §8.5: 2 is -109 dBm, 30 is -53 dBm.
        assert!(facts_of("+CESQ: 99,99,255,255,20,48").contains(&Fact::number(
            Quantity::Rsrp,
            -93.0,
            Cell::Serving
        )));
        assert!(facts_of("+CESQ: 99,99,255,255,20,48").contains(&Fact::number(
            Quantity::Rsrq,
            -10.0,
            Cell::Serving
        )));
        assert_eq!(facts_of("+CSQ: 2,99"), [Fact::number(Quantity::Rssi, -109.0, Cell::Serving)]);
        assert_eq!(facts_of("+CSQ: 30,99"), [Fact::number(Quantity::Rssi, -53.0, Cell::Serving)]);
    }

    #[test]
    fn no_value_is_not_a_level_and_a_range_is_no_reading() {
        assert_eq!(facts_of("+CSQ: 99,99"), [Fact::no_value(Quantity::Rssi, Cell::Serving)]);
        assert!(facts_of("+CSQ: (0-31,99),(0-7,99)").is_empty());
    }

    #[test]
    fn a_dressed_index_is_the_index_or_nothing() {
        let level =
            |line: &str| facts_of(line).iter().find_map(Fact::as_number).map(|(_, value, _)| value);
        assert_eq!(level("+CSQ: 17,99<CR><LF>"), Some(-79.0));
        assert_eq!(level("+CSQ: 17 , 99 (fair)"), Some(-79.0));
        assert_eq!(level("+CSQ: 17"), Some(-79.0));
        for line in [
            "+CSQ: 1",
            "+CSQ: 1 7,99",
            "+CSQ: 17x,99",
            "+CSQ: 17,9x",
            "+CSQ: 17;99",
            "+CSQ: 32,99",
            "+CSQ: ,99",
        ] {
            assert_eq!(level(line), None, "{line}");
        }
        assert!(facts_of("+CESQ: 99,99,255,255,20,4x").is_empty());
        assert!(facts_of("+CESQ: 99,99,255,255,20").is_empty());
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(row in any::<[u8; 6]>(), nr in any::<Option<[u8; 3]>>(), rssi in 0u8..=99) {
            let cesq = Cesq { indices: row.map(Spanned::from), nr: nr.map(|n| n.map(Spanned::from)) };
            prop_assert_eq!(with_response(&cesq.to_string(), Form::Read, Cesq::parse), Ok(cesq));
            let csq = Csq { rssi: rssi.into(), ber: Some(99.into()) };
            prop_assert_eq!(with_response(&csq.to_string(), Form::Read, Csq::parse), Ok(csq));
        }

        #[test]
        fn a_row_cut_anywhere_gives_its_own_indices_or_none(row in any::<[u8; 6]>(), cut in 0usize..40) {
            let line = Cesq { indices: row.map(Spanned::from), nr: None }.to_string();
            let cut = (7 + cut).min(line.len());
            let read = with_response(&line[..cut], Form::Read, |r| Cesq::parse(&Response { open: true, ..*r }));
            prop_assert!(read.is_err() || read.unwrap().indices == row.map(Spanned::from));
        }
    }
}
