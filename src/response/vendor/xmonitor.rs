//! `%XMONITOR`, `%CESQ`, `%XCBAND`, `%XVBAT`, `%XTEMP`: cell, levels, band, supply and heat.
//!
//! ```text
//! %XMONITOR: <reg>[,"<full>","<short>","<PLMN>","<TAC>",<AcT>,<band>,"<cell>",<PCI>,<EARFCN>,<RSRP>,<SNR>,…]
//! %CESQ: <RSRP>,<step>[,<RSRQ>,<step>]
//! ```

use crate::case::{Domain, Fact, Facts, Quantity, Rat, Registration, Sim};
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["%XMONITOR", "%CESQ", "%XCBAND", "%XVBAT", "%XTEMP"],
    request: "%XMONITOR",
    source: "maker's command",
    about: "registration, serving cell and levels of LTE-M and NB-IoT",
    yields: &[
        Quantity::RegistrationStat,
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::SupplyMillivolt,
        Quantity::Temperature,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    match reply.head.to_ascii_uppercase().as_str() {
        "%XMONITOR" => monitor(&mut pen, reply),
        "%CESQ" => {
            pen.level(Quantity::Rsrp, fields.first(), scale::RSRP);
            pen.level(Quantity::Rsrq, fields.get(2), scale::RSRQ);
        }
        "%XCBAND" => pen.plain(Quantity::Band, fields.first()),
        "%XVBAT" => pen.plain(Quantity::SupplyMillivolt, fields.first()),
        // The form that comes by itself has a level before the temperature.
        _ => pen.plain(Quantity::Temperature, fields.last()),
    }
    pen.done()
}

fn monitor(pen: &mut FactWriter<'_>, reply: &Response<'_>) {
    let fields = reply.fields();
    match fields[0].small() {
        Some(90) => pen.fact(Fact::Sim(Sim::Failure), fields[0].span),
        Some(stat @ 0..=5) => {
            let registration = Registration {
                domain: Domain::Eps,
                stat,
                act: fields.get(5).and_then(|f| f.small()).filter(|n| matches!(n, 7 | 9)),
                unsolicited: reply.form == Form::Unsolicited,
            };
            pen.fact(Fact::Registration(registration), fields[0].span);
            pen.value(Quantity::RegistrationStat, f64::from(stat), fields[0].span);
        }
        _ => return,
    }
    let rat = match fields.get(5).and_then(|f| f.small()) {
        Some(7) => Rat::LteM,
        Some(9) => Rat::NbIot,
        _ => return,
    };
    pen.fact(Fact::Technology(rat), fields[5].span);
    pen.joined_network(fields.get(3));
    pen.area_hex(fields.get(4));
    pen.plain(Quantity::Band, fields.get(6));
    pen.cell_hex(fields.get(7));
    pen.plain(Quantity::Pci, fields.get(8));
    pen.plain(Quantity::Earfcn, fields.get(9));
    pen.level(Quantity::Rsrp, fields.get(10), scale::RSRP);
    match fields.get(11) {
        Some(snr) if snr.int() == Some(127) => pen.unknown(Quantity::Sinr, snr.span),
        snr => pen.level(Quantity::Sinr, snr, scale::SNR_25),
    }
}

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

    #[test]
    fn thresholds_are_no_levels() {
        let found = of("%CESQ", "20,0,7,0");
        assert_eq!(numbers(&found, Quantity::Rsrp), [-121.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-16.5]);
    }

    #[test]
    fn supply_heat_and_band_are_plain() {
        assert_eq!(numbers(&of("%XVBAT", "3621"), Quantity::SupplyMillivolt), [3621.0]);
        assert_eq!(numbers(&of("%XTEMP", "1,41"), Quantity::Temperature), [41.0]);
        assert_eq!(numbers(&of("%XCBAND", "20"), Quantity::Band), [20.0]);
        assert_eq!(numbers(&of("%XCBAND", "0"), Quantity::Band), [] as [f64; 0]);
    }
}
