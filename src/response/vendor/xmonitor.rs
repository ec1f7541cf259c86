//! `%XMONITOR`: registration and serving cell in one line.
//!
//! ```text
//! <reg>[,"<full>","<short>","<PLMN>","<TAC>",<AcT>,<band>,"<cell>",<PCI>,<EARFCN>,<RSRP>,<SNR>,"<eDRX>",
//!   "<active time>","<TAU>"[,"<TAU>"]]
//! ```
//!
//! `<reg>` is that of `+CEREG`, or 90 for a failed card. 255 and 127 are "no value".

use super::family;
use crate::case::{Domain, Fact, Facts, Quantity, Rat, Registration, Sim};
use crate::response::columns::{AREA, CELL, Column, PLMN, plain, whole};
use crate::response::{Family, Form, Read, Response, scale};
use Column::{Figure, Number, Optional, Own, Rest, Text};

pub(super) static FAMILY: Family = family(
    &["%XMONITOR"],
    "%XMONITOR",
    "registration, serving cell and levels of LTE-M and NB-IoT",
    &[
        Quantity::RegistrationStat,
        Quantity::Rsrp,
        Quantity::Sinr,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const CELL_COLUMNS: &[Column] = &[
    Figure,
    Text,
    Text,
    PLMN,
    AREA,
    Own(|w, f| {
        let rat = technology(f.text).ok_or("7 or 9")?;
        w.fact(Fact::Technology(rat), f.span);
        Ok(())
    }),
    plain(Quantity::Band),
    CELL,
    plain(Quantity::Pci),
    plain(Quantity::Earfcn),
    Number(Quantity::Rsrp, scale::RSRP),
    Own(|w, f| {
        if f.text == "127" {
            w.unknown(Quantity::Sinr, f.span);
            return Ok(());
        }
        w.level(Quantity::Sinr, f, scale::SNR_25)
    }),
    Optional,
    Rest,
];

fn technology(act: &str) -> Option<Rat> {
    match act {
        "7" => Some(Rat::LteM),
        "9" => Some(Rat::NbIot),
        _ => None,
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let first = &reply.fields()[0];
        // Without a cell the state stands alone, or all fields are empty; so it does where the text was cut.
        let camped = reply.fields().len() > 1 && technology(reply.text(5)).is_some();
        let short = (2..6).contains(&reply.fields().len());
        if !camped && (reply.open || short) {
            return Err(reply.no_form(5));
        }
        match first.small() {
            Some(90) => {
                w.fact(Fact::Sim(Sim::Failure), first.span);
                return w.row(reply, &[Figure, Optional, Rest]);
            }
            Some(stat @ 0..=5) => {
                let registration = Registration {
                    domain: Domain::Eps,
                    stat,
                    act: reply
                        .fields()
                        .get(5)
                        .and_then(|f| f.small())
                        .filter(|n| matches!(n, 7 | 9)),
                    unsolicited: reply.form == Form::Unsolicited,
                };
                w.fact(Fact::Registration(registration), first.span);
                w.value(Quantity::RegistrationStat, f64::from(stat), first.span);
            }
            _ => return Err(reply.no_form(0)),
        }
        let rest: &[Column] = if camped { CELL_COLUMNS } else { &[Figure, Optional, Rest] };
        w.row(reply, rest)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"%XMONITOR: 1,"EXAMPLE","EX","00101","006B",7,4,"000ADA00",7,2300,63,39,"","11100000","11100000","00000000""#,
    "%XMONITOR: 2",
];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Domain, Fact, Quantity, Rat, Registration, Sim};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn a_registered_monitor_line_tells_the_whole_cell() {
        let found = of(
            "%XMONITOR",
            "1,\"EXAMPLE\",\"EX\",\"00101\",\"006B\",7,4,\"000ADA00\",7,2300,63,39,\"\",\"11100000\"",
        );
        let registration =
            Registration { domain: Domain::Eps, stat: 1, act: Some(7), unsolicited: false };
        assert!(says(&found, &Fact::Registration(registration)));
        assert!(says(&found, &Fact::Technology(Rat::LteM)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-78.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [14.0]);
        assert_eq!(numbers(&found, Quantity::Band), [4.0]);
        assert_eq!(numbers(&found, Quantity::Earfcn), [2300.0]);
    }

    #[test]
    fn ninety_means_a_failed_card_and_255_no_level() {
        assert!(says(&of("%XMONITOR", "90"), &Fact::Sim(Sim::Failure)));
        let found =
            of("%XMONITOR", "5,\"\",\"\",\"99901\",\"6E5E\",9,20,\"01AE6700\",281,6400,255,127");
        assert!(says(&found, &Fact::no_value(Quantity::Rsrp, Cell::Serving)));
        assert!(says(&found, &Fact::no_value(Quantity::Sinr, Cell::Serving)));
    }
}
