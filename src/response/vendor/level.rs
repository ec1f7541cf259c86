//! Levels and figures of the serving cell in vendors' rows of one form.
//!
//! `^RSSI` is the index of `+CSQ` (TS 27.007 §8.5) as it comes by itself; common practice, no source.

use crate::case::Quantity::{Band, Rscp, Rsrp, Rsrq, Rssi, Rxlev, TimingAdvance};
#[cfg(test)]
use crate::case::{Cell, Fact, Quantity};
use crate::response::columns::Column::{self, Figure, Number, Optional, Own, Rest, Text, Word};
use crate::response::columns::{PLMN, plain};
#[cfg(test)]
use crate::response::sample::number;
use crate::response::scale;
use crate::response::table::When::{Always, Is};
use crate::response::table::responses;

/// The index of `+CSQ`.
pub(super) const INDEX: Column = Own(|w, f| {
    let index: u8 = f.text.parse().map_err(|_| "an index")?;
    match index {
        // TS 27.007 §8.5: 0 is -113 dBm or less, each step 2 dB, 31 is -51 dBm or more.
        0..=31 => {
            w.value(Rssi, f64::from(index) * 2.0 - 113.0, f.span);
        }
        99 => w.unknown(Rssi, f.span),
        _ => return Err("an index"),
    }
    Ok(())
});

responses! {
    ["^RSSI"] "^RSSI?" "signal strength index" [Rssi] { Always => [INDEX] }
        "^RSSI: 2" => [number(Rssi, -109.0)]
        "^RSSI: 99" => [Fact::no_value(Rssi, Cell::Serving)]
        "^RSSI: 45" => []
    // <RSRP>,<step>[,<RSRQ>,<step>]: each index with the step of its threshold.
    ["%CESQ"] "%CESQ=1" "levels of LTE-M and NB-IoT, as they change" [Rsrp, Rsrq] {
        Always => [Number(Rsrp, scale::RSRP), Figure, Optional, Number(Rsrq, scale::RSRQ), Figure],
    }
        "%CESQ: 20,0,7,0" => [number(Rsrp, -121.0), number(Rsrq, -16.5)]
    // <n>,rxlev,ber,RSCP,Ec/No,RSRQ,RSRP,RSSNR in halves of a decibel: RSRQ stands before RSRP.
    ["+XCESQ"] "+XCESQ?" "levels of the serving cell, as indices" [Rxlev, Rscp, Rsrq, Rsrp, Sinr] {
        Always => [
            Figure,
            Number(Rxlev, scale::RXLEV),
            Figure,
            Number(Rscp, scale::RSCP),
            Figure,
            Number(Rsrq, scale::RSRQ),
            Number(Rsrp, scale::RSRP),
            Own(super::xmci::ratio),
        ],
    }
        "+XCESQ: 0,99,99,255,255,10,34,16" => [
            Fact::no_value(Rxlev, Cell::Serving),
            Fact::no_value(Rscp, Cell::Serving),
            number(Rsrq, -15.0),
            number(Rsrp, -107.0),
            number(Quantity::Sinr, 8.0)
        ]
    // 0 where there is none.
    ["%XCBAND"] "%XCBAND" "the band in use" [Band] { Always => [plain(Band)] }
        "%XCBAND: 20" => [number(Band, 20.0)]
        "%XCBAND: 0" => []
    // "lte_time_advance",<on>[,<timing advance>]: the value is there only where its report is switched on.
    ["+QNWCFG"] "+QNWCFG=\"lte_time_advance\"" "timing advance" [TimingAdvance] {
        Is(&[(0, "lte_time_advance")]) => [Text, Word(&["0", "1"]), Optional, plain(TimingAdvance)],
        Always => [Text, Optional, Rest],
    }
        "+QNWCFG: \"lte_time_advance\",1,32" => [number(TimingAdvance, 32.0)]
    // "<full>","<short>","<the card's own name>",<alphabet>,"<network code>".
    ["+QSPN"] "+QSPN" "names and code of the network in use" [Mcc, Mnc] {
        Always => [Text, Text, Text, Word(&["0", "1"]), PLMN],
    }
        "+QSPN: \"Example Net\",\"Example\",\"\",0,\"00101\"" => [
            Fact::word(Quantity::Mcc, "001".into(), Cell::Serving),
            Fact::word(Quantity::Mnc, "01".into(), Cell::Serving)
        ]
}
