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
//!
//! Three scales share the LTE form; the received power tells which, as their ranges do not meet.

use super::family;
use crate::case::{Cell, Fact, Facts, Quantity, Rat, Service};
use crate::response::columns::{
    AREA, BAND_NAME, CELL_DECIMAL, Column, PLMN, UPLINK_WIDTH, WIDTH, plain, whole,
};
use crate::response::fact_writer::{FactWriter, Taken, number};
use crate::response::names::{note_technology, service, technology};
use crate::response::scale::{self, Scale};
use crate::response::{Family, Field, Read, Response};
use Column::{Figure, Number, Optional, Own, Phrase, Rest, Word};

pub(super) static FAMILY: Family = family(
    &["+CPSI"],
    "+CPSI?",
    "the serving cell in one line",
    &[
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
);

const TECHNOLOGY: Column = Phrase(note_technology);
const ONLINE: Column = Word(&["Online"]);
const GSM: &[Column] = &[
    TECHNOLOGY,
    ONLINE,
    PLMN,
    AREA,
    CELL_DECIMAL,
    Phrase(gsm_channel),
    plain(Quantity::Rxlev),
    Figure,
    Column::Text,
];
const UTRA: &[Column] = &[
    TECHNOLOGY,
    ONLINE,
    PLMN,
    AREA,
    CELL_DECIMAL,
    Phrase(|_, _| Ok(())),
    plain(Quantity::Psc),
    plain(Quantity::Uarfcn),
    Figure,
    Own(|w, f| signed(w, Quantity::EcNo, f)),
    Own(|w, f| signed(w, Quantity::Rscp, f)),
    Figure,
    Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let (system, operation) = (reply.text(0), reply.text(1));
        let none = service(system) == Some(Service::None);
        let off = match operation.to_ascii_lowercase().as_str() {
            "offline" | "low power mode" | "factory test mode" | "reset" | "powering off" => true,
            "online" => false,
            _ if technology(system) == Some(Rat::Nr) => return second_leg(w, reply),
            _ => return Err(reply.no_form(1)),
        };
        if none || off {
            let held =
                ["low power mode", "offline"].iter().any(|o| o.eq_ignore_ascii_case(operation));
            let state = if held {
                Some((Service::RadioOff, reply.fields()[1].span))
            } else {
                none.then_some((Service::None, reply.fields()[0].span))
            };
            if let Some((state, span)) = state {
                w.fact(Fact::Service(state), span);
            }
            return Ok(());
        }
        let level = |n: usize| number(reply.text(n));
        match technology(system).ok_or_else(|| reply.no_form(0))? {
            Rat::Lte | Rat::LteM | Rat::NbIot => w.row(reply, &eutra(level(11))),
            Rat::Nr => w.row(reply, &standalone(level(8))),
            Rat::Gsm => w.row(reply, GSM),
            Rat::Utra => w.row(reply, UTRA),
        }
    })
}

fn eutra(power: Option<f64>) -> [Column; 14] {
    let (rsrq, rsrp, rssi, sinr) = match (power.and_then(signed_scale), power) {
        (Some(scale), _) => (
            Number(Quantity::Rsrq, scale),
            Number(Quantity::Rsrp, scale),
            Number(Quantity::Rssi, scale),
            plain(Quantity::Sinr),
        ),
        (None, Some(raw)) if raw > 0.0 => (
            Number(Quantity::Rsrq, scale::RSRQ),
            Number(Quantity::Rsrp, scale::RSRP),
            Figure,
            Figure,
        ),
        // -32768 in place of the power: nothing was measured.
        _ => (Figure, plain(Quantity::Rsrp), Figure, Figure),
    };
    [
        TECHNOLOGY,
        ONLINE,
        PLMN,
        AREA,
        CELL_DECIMAL,
        plain(Quantity::Pci),
        BAND_NAME,
        plain(Quantity::Earfcn),
        WIDTH,
        UPLINK_WIDTH,
        rsrq,
        rsrp,
        rssi,
        sinr,
    ]
}

fn standalone(power: Option<f64>) -> [Column; 11] {
    let [rsrp, rsrq, snr] = nr_levels(power);
    [
        TECHNOLOGY,
        ONLINE,
        PLMN,
        AREA,
        CELL_DECIMAL,
        plain(Quantity::Pci),
        BAND_NAME,
        plain(Quantity::NrArfcn),
        rsrp,
        rsrq,
        snr,
    ]
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

fn nr_levels(power: Option<f64>) -> [Column; 3] {
    let Some(scale) = power.and_then(signed_scale) else {
        return [plain(Quantity::Rsrp), Figure, Figure];
    };
    let snr = if scale == Scale::Plain { plain(Quantity::Sinr) } else { Own(ratio_in_either) };
    [Number(Quantity::Rsrp, scale), Number(Quantity::Rsrq, scale), snr]
}

/// Some firmware prints tenths of a decibel beside tenths of dBm, some whole decibels.
fn ratio_in_either(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    match number(field.text) {
        Some(raw) if raw.abs() <= 60.0 => {
            let between = (raw.min(raw / 10.0), raw.max(raw / 10.0));
            let why = "firmware prints this field in decibels or in tenths";
            w.uncertain(Quantity::Sinr, Some(between), why, field.span);
            Ok(())
        }
        _ => w.level(Quantity::Sinr, field, Scale::Parts(10.0)),
    }
}

fn second_leg(
    w: &mut FactWriter<'_>,
    reply: &Response<'_>,
) -> Result<(), crate::response::FieldError> {
    w.turn_to(Cell::Secondary);
    let named = reply.text(2).to_ascii_uppercase().starts_with("NR5G_BAND");
    if named {
        let [rsrp, rsrq, snr] = nr_levels(number(reply.text(4)));
        let pci = plain(Quantity::Pci);
        let channel = plain(Quantity::NrArfcn);
        let form =
            [Column::Text, pci, BAND_NAME, channel, rsrp, rsrq, snr, Optional, Figure, Figure];
        return w.row(reply, &form);
    }
    let form = [
        Column::Text,
        plain(Quantity::Pci),
        plain(Quantity::NrArfcn),
        plain(Quantity::Rsrq),
        plain(Quantity::Rsrp),
        plain(Quantity::Sinr),
    ];
    w.row(reply, &form)
}

fn gsm_channel(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let channel = field.text.split(' ').next().and_then(|n| n.parse::<u16>().ok());
    w.value(Quantity::Arfcn, f64::from(channel.ok_or("a channel and its band")?), field.span);
    Ok(())
}

/// Older firmware prints the magnitude alone, and some an index: only a signed value is certain.
fn signed(w: &mut FactWriter<'_>, quantity: Quantity, field: &Field<'_>) -> Taken {
    match number(field.text) {
        Some(raw) if raw >= 0.0 => {
            w.uncertain(quantity, None, "older firmware leaves the sign away", field.span);
            Ok(())
        }
        _ => w.level(quantity, field, Scale::Plain),
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+CPSI: LTE,Online,001-01,0xE9D3,59696300,448,EUTRAN-BAND1,100,4,4,-122,-1184,-874,9",
    "+CPSI: LTE NB-IOT,Online,999-01,0x59E9,62010300,112,EUTRAN-BAND20,6300,0,0,-9,-84,-75,11",
    "+CPSI: LTE,Online,001-01,0xDB85,164440700,303,EUTRAN-BAND1,100,5,0,12,36,42,5",
    "+CPSI: GSM,Online,001-01,0x0aba,10224,6 EGSM 900,-67,0,0-0",
    "+CPSI: WCDMA,Online,001-01,0x1633,-294967296,WCDMA IMT 2000,437,10687,0,-3,-83,-32768,-83,-15",
    "+CPSI: NR5G_SA,Online,999-01,0x7CD0,9275900,0,NR5G_BAND78,640704,-770,-110,290",
    "+CPSI: NR5G_NSA,298,NR5G_BAND41,520110,-760,-110,18,0,12",
    "+CPSI: NO SERVICE,Online",
];

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
