//! `+CPSI`: the serving cell in one line.
//!
//! ```text
//! LTE,<operation>,MCC-MNC,0x<TAC>,<cell>,PCI,EUTRAN-BAND<n>,EARFCN,DL,UL,RSRQ,RSRP,RSSI,RSSNR
//! GSM,<operation>,MCC-MNC,0x<LAC>,<cell>,<ARFCN> <band>,rxlev,…
//! WCDMA,<operation>,MCC-MNC,0x<LAC>,<cell>,<band>,PSC,UARFCN,SSC,Ec/Io,RSCP,…
//! NR5G_SA,<operation>,MCC-MNC,0x<TAC>,<cell>,PCI,NR5G_BAND<n>,ARFCN,RSRP,RSRQ,SNR
//! NR5G_NSA,PCI,NR5G_BAND<n>,ARFCN,RSRP,RSRQ,SNR[,…]
//! NR5G,PCI,ARFCN,RSRQ,RSRP,SNR
//! NO SERVICE,<operation>
//! ```

use crate::case::{Cell, Fact, Facts, Quantity, Rat, Service};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::scale::{self, Scale};
use crate::response::{Family, Field, Read, Response};
use crate::response::{bands, names};

pub(super) static FAMILY: Family = Family {
    heads: &["+CPSI"],
    request: "+CPSI?",
    source: "maker's command",
    about: "the serving cell in one line",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
        Quantity::Pci,
        Quantity::Psc,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::BandwidthMhz,
        Quantity::UplinkBandwidthMhz,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let system = fields[0];
    let operation = fields.get(1);
    let off = operation.and_then(|f| names::service(f.text)) == Some(Service::RadioOff);
    if let (true, Some(operation)) = (off, operation) {
        pen.fact(Fact::Service(Service::RadioOff), operation.span);
        return pen.done();
    }
    if names::service(system.text) == Some(Service::None) {
        pen.fact(Fact::Service(Service::None), system.span);
        return pen.done();
    }
    let Some(rat) = names::technology(system.text) else { return Read::UnknownForm };
    if rat == Rat::Nr && operation.is_some_and(|f| f.int().is_some()) {
        pen.turn_to(Cell::Secondary);
        second_leg(&mut pen, fields);
        return pen.done();
    }
    pen.fact(Fact::Technology(rat), system.span);
    pen.joined_network(fields.get(2));
    pen.area_hex(fields.get(3));
    pen.cell_decimal(fields.get(4));
    match rat {
        Rat::Lte | Rat::LteM | Rat::NbIot => eutra(&mut pen, fields),
        Rat::Nr => {
            pen.plain(Quantity::Pci, fields.get(5));
            named_band(&mut pen, fields.get(6));
            pen.plain(Quantity::NrArfcn, fields.get(7));
            nr_levels(&mut pen, fields.get(8), fields.get(9), fields.get(10));
        }
        Rat::Gsm => {
            if let Some(field) = fields.get(5) {
                let channel = field.text.split(' ').next().and_then(|n| n.parse::<u16>().ok());
                if let Some(channel) = channel {
                    pen.value(Quantity::Arfcn, f64::from(channel), field.span);
                }
            }
            pen.plain(Quantity::Rxlev, fields.get(6));
        }
        Rat::Utra => {
            pen.plain(Quantity::Psc, fields.get(6));
            pen.plain(Quantity::Uarfcn, fields.get(7));
            signed(&mut pen, Quantity::EcNo, fields.get(9));
            signed(&mut pen, Quantity::Rscp, fields.get(10));
        }
    }
    pen.done()
}

fn named_band(pen: &mut FactWriter<'_>, field: Option<&Field<'_>>) {
    if let Some((field, number)) = field.and_then(|f| Some((f, bands::named(f.text)?))) {
        pen.value(Quantity::Band, f64::from(number), field.span);
    }
}

/// Three scales share this shape; the received power tells which, as their ranges do not meet.
fn eutra(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    pen.plain(Quantity::Pci, fields.get(5));
    named_band(pen, fields.get(6));
    pen.plain(Quantity::Earfcn, fields.get(7));
    pen.lte_width(Quantity::BandwidthMhz, fields.get(8));
    pen.lte_width(Quantity::UplinkBandwidthMhz, fields.get(9));
    let (rsrq, rsrp) = (fields.get(10), fields.get(11));
    let Some(raw) = rsrp.and_then(|f| number(f.text)) else { return };
    if let Some(scale) = signed_scale(raw) {
        pen.level(Quantity::Rsrq, rsrq, scale);
        pen.level(Quantity::Rsrp, rsrp, scale);
        pen.level(Quantity::Rssi, fields.get(12), scale);
        pen.plain(Quantity::Sinr, fields.get(13));
    } else if raw > 0.0 {
        pen.level(Quantity::Rsrq, rsrq, scale::RSRQ);
        pen.level(Quantity::Rsrp, rsrp, scale::RSRP);
    } else {
        // -32768 in place of the power: nothing was measured.
        pen.plain(Quantity::Rsrp, rsrp);
    }
}

/// Tenths, where the power lies below any that is plain; `None` where it is no signed power.
fn signed_scale(rsrp: f64) -> Option<Scale> {
    if (-1600.0..-200.0).contains(&rsrp) && rsrp.to_bits() != (-256.0_f64).to_bits() {
        Some(Scale::Parts(10.0))
    } else if (-160.0..-20.0).contains(&rsrp) {
        Some(Scale::Plain)
    } else {
        None
    }
}

fn nr_levels(
    pen: &mut FactWriter<'_>,
    rsrp: Option<&Field<'_>>,
    rsrq: Option<&Field<'_>>,
    snr: Option<&Field<'_>>,
) {
    let Some(scale) = rsrp.and_then(|f| signed_scale(number(f.text)?)) else {
        return pen.plain(Quantity::Rsrp, rsrp);
    };
    pen.level(Quantity::Rsrp, rsrp, scale);
    pen.level(Quantity::Rsrq, rsrq, scale);
    let Some(field) = snr else { return };
    match number(field.text) {
        // Some firmware prints tenths of a decibel beside tenths of dBm, some whole decibels.
        Some(raw) if scale != Scale::Plain && raw.abs() <= 60.0 => {
            let between = (raw.min(raw / 10.0), raw.max(raw / 10.0));
            let why = "firmware prints this field in decibels or in tenths";
            pen.doubt(Quantity::Sinr, Some(between), why, field.span);
        }
        _ => pen.level(Quantity::Sinr, snr, scale),
    }
}

fn second_leg(pen: &mut FactWriter<'_>, fields: &[Field<'_>]) {
    pen.plain(Quantity::Pci, fields.get(1));
    if fields.get(2).is_some_and(|f| f.int().is_some()) {
        pen.plain(Quantity::NrArfcn, fields.get(2));
        pen.plain(Quantity::Rsrq, fields.get(3));
        pen.plain(Quantity::Rsrp, fields.get(4));
        pen.plain(Quantity::Sinr, fields.get(5));
    } else {
        named_band(pen, fields.get(2));
        pen.plain(Quantity::NrArfcn, fields.get(3));
        nr_levels(pen, fields.get(4), fields.get(5), fields.get(6));
    }
}

/// Older firmware prints the magnitude alone, and some an index: only a signed value is certain.
fn signed(pen: &mut FactWriter<'_>, quantity: Quantity, field: Option<&Field<'_>>) {
    let Some(found) = field else { return };
    match number(found.text) {
        Some(raw) if raw >= 0.0 => {
            pen.doubt(quantity, None, "older firmware leaves the sign away", found.span);
        }
        _ => pen.plain(quantity, field),
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Rat, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn tenths_and_plain_levels_are_told_by_the_power() {
        let tenths = of(
            "+CPSI",
            "LTE,Online,001-01,0xE9D3,59696300,448,EUTRAN-BAND1,100,4,4,-122,-1184,-874,9",
        );
        assert_eq!(numbers(&tenths, Quantity::Rsrp), [-118.4]);
        assert_eq!(numbers(&tenths, Quantity::Rsrq), [-12.2]);
        assert_eq!(numbers(&tenths, Quantity::Rssi), [-87.4]);
        assert_eq!(numbers(&tenths, Quantity::BandwidthMhz), [15.0]);
        let plain = of(
            "+CPSI",
            "LTE NB-IOT, Online,999-01,0x59E9,62010300,112,EUTRAN-BAND20,6300,0,0,-9,-84,-75,11",
        );
        assert!(says(&plain, &Fact::Technology(Rat::NbIot)));
        assert_eq!(numbers(&plain, Quantity::Rsrp), [-84.0]);
        let index =
            of("+CPSI", "LTE,Online,001-01,0xDB85,164440700,303,EUTRAN-BAND1,100,5,0,12,36,42,5");
        assert_eq!(numbers(&index, Quantity::Rsrp), [-105.0]);
        assert_eq!(numbers(&index, Quantity::Rsrq), [-14.0]);
        assert_eq!(numbers(&index, Quantity::Rssi), [] as [f64; 0]);
    }

    #[test]
    fn no_service_and_radio_off_differ() {
        assert!(says(&of("+CPSI", "NO SERVICE,Online"), &Fact::Service(Service::None)));
        assert!(says(&of("+CPSI", "NO SERVICE,Low Power Mode"), &Fact::Service(Service::RadioOff)));
    }

    #[test]
    fn an_overflowed_cell_and_an_unsigned_level_claim_nothing() {
        let found = of(
            "+CPSI",
            "WCDMA,Online,001-01,0x392C,-294967296,WCDMA IMT 2000,316,10713,0,21,86,15,29",
        );
        assert_eq!(numbers(&found, Quantity::CellId), [] as [f64; 0]);
        assert_eq!(numbers(&found, Quantity::Rscp), [] as [f64; 0]);
        assert_eq!(numbers(&found, Quantity::Psc), [316.0]);
    }

    #[test]
    fn an_nr_leg_is_a_secondary_cell() {
        let found = of("+CPSI", "NR5G_NSA,298,NR5G_BAND41,520110,-760,-110,18,0,12");
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -76.0, Cell::Secondary)));
        let alone =
            of("+CPSI", "NR5G_SA,Online,999-01,0x7CD0,9275900,0,NR5G_BAND78,640704,-770,-110,290");
        assert_eq!(numbers(&alone, Quantity::Sinr), [29.0]);
        assert_eq!(numbers(&alone, Quantity::Band), [78.0]);
    }

    #[test]
    fn the_gsm_channel_stands_before_the_name_of_its_band() {
        let found = of("+CPSI", "GSM,Online,001-01,0x0aba,10224,6 EGSM 900,-67,0,0-0");
        assert_eq!(numbers(&found, Quantity::Arfcn), [6.0]);
        assert_eq!(numbers(&found, Quantity::Rxlev), [-67.0]);
    }
}
