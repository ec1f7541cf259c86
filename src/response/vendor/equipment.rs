//! The module as a device: temperature, supply, sleep, profiles, switches of the radio, events.
//!
//! From memory: `+CMTE` with degrees, `^SCTM_B`, `+UUPSMR` (its 2 delays the sleep), `^RFSWITCH`, a read of `^SBC`.

use crate::case::{Fact, Holder, Power, Quantity, Service};
use crate::response::columns::Column::{self, Figure, Number, Optional, Own, Rest, Text, Word};
use crate::response::columns::plain;
use crate::response::names::technology;
#[cfg(test)]
use crate::response::sample::number;
use crate::response::scale::Scale;
use crate::response::table::When::{Always, Fields, Is, Own as ByItself, Quoted, Under};
use crate::response::table::{numbers, responses, words};

const DEGREES: Column = plain(Quantity::Temperature);
const HOT: Fact = Fact::Power(Power::Temperature);
const ASLEEP: Fact = Fact::Power(Power::Asleep);
const AWAKE: Fact = Fact::Power(Power::Awake);
/// A level of temperature: near a limit, ±1, nothing has happened yet.
const LEVEL: Column = numbers!(-2 | 2 => [HOT], -1..=1 => []);
const SLEEP: Column = numbers!(0 => [AWAKE], 1 => [ASLEEP], 2 => []);
const SWITCH: Column = Word(&["0", "1"]);
/// A profile by its number.
const PROFILE: Column = Own(|w, f| {
    let number: u16 = f.text.parse().map_err(|_| "the number of a profile")?;
    w.fact(Fact::OperatorProfile(format!("number {number}")), f.span);
    Ok(())
});

const TEMPERATURE: &str = "module temperature";
const SAVING: &str = "power saving begins or ends";
const ACTIVE_PROFILE: &str = "the operator profile that is active";

responses! {
    // Degrees, and a state on some.
    ["+CPMUTEMP"] "+CPMUTEMP" TEMPERATURE [Temperature] { Always => [DEGREES, Optional, Figure] }
        "+CPMUTEMP: 24" => [number(Quantity::Temperature, 24.0)]
    // A level may stand before the degrees.
    ["%XTEMP"] "%XTEMP?" TEMPERATURE [Temperature] { Fields(1) => [DEGREES], Always => [Figure, DEGREES] }
        "%XTEMP: 1,41" => [number(Quantity::Temperature, 41.0)]
        "%XTEMP: 41" => [number(Quantity::Temperature, 41.0)]
    // A sensor and thousandths of a degree.
    ["+GTSENRDTEMP"] "+GTSENRDTEMP=1" TEMPERATURE [Temperature] {
        Always => [Figure, Number(Quantity::Temperature, Scale::Parts(1000.0))],
    }
        "+GTSENRDTEMP: 1,36500" => [number(Quantity::Temperature, 36.5)]
    ["#TEMPMEAS", "#TEMPMON"] "#TEMPMEAS" TEMPERATURE [Temperature] { Always => [LEVEL, DEGREES] }
        "#TEMPMEAS: 0,31" => [number(Quantity::Temperature, 31.0)]
        "#TEMPMEAS: 2,96" => [HOT, number(Quantity::Temperature, 96.0)]
    // A level as it comes by itself, or <mode>,<degrees>.
    ["+CMTE"] "+CMTE?" TEMPERATURE [Temperature] { Fields(1) => [LEVEL], Always => [SWITCH, DEGREES] }
        "+CMTE: 2" => [HOT]
        "+CMTE: 1,96" => [number(Quantity::Temperature, 96.0)]
        "+CMTE: -1" => []
    ["^SCTM_B"] "" "warnings of temperature" { Always => [LEVEL] }
        "^SCTM_B: -2" => [HOT]
        "^SCTM_B: 1" => []
    ["%XVBAT"] "%XVBAT" "supply voltage" [SupplyMillivolt] { Always => [plain(Quantity::SupplyMillivolt)] }
        "%XVBAT: 3621" => [number(Quantity::SupplyMillivolt, 3621.0)]
    // Warnings as they come by themselves, or <status>,<capacity>,<millivolts>.
    ["^SBC"] "^SBC?" "supply voltage and warnings of it" [SupplyMillivolt] {
        Fields(1) => [words!(
            "Undervoltage" => [Fact::Power(Power::LowVoltage)],
            "Overvoltage" => [Fact::Power(Power::HighVoltage)],
        )],
        Always => [Figure, Figure, plain(Quantity::SupplyMillivolt)],
    }
        "^SBC: Undervoltage Warning" => [Fact::Power(Power::LowVoltage)]
        "^SBC: 1,20,3921" => [number(Quantity::SupplyMillivolt, 3921.0)]

    // Silence after it is no fault.
    ["+CPSMSTATUS"] "" SAVING { Always => [words!("ENTER PSM" => [ASLEEP], "EXIT PSM" => [AWAKE])] }
        "+CPSMSTATUS: \"ENTER PSM\"" => [ASLEEP]
        "+CPSMSTATUS: EXIT PSM" => [AWAKE]
    // <reports on>,<state> when read, <state> as it comes by itself.
    ["+NPSMR", "+UUPSMR"] "+NPSMR?" SAVING {
        Under("+UUPSMR") => [SLEEP, Optional, Figure],
        ByItself(1) => [SLEEP],
        Always => [SWITCH, SLEEP],
    }
        "+NPSMR: 0,1" => [ASLEEP]
        "+NPSMR: 1,0" => [AWAKE]
        "+UUPSMR: 1" => [ASLEEP]
    // <kind>,<milliseconds>: 0 or nothing is awake; kinds 1 power saving, 2 between pagings, 4 flight mode, 7 none. Between
    // pagings the modem sleeps all the time.
    ["%XMODEMSLEEP"] "" SAVING {
        Is(&[(0, "1"), (1, "")]) => [numbers!(1 => [AWAKE]), Optional, Figure],
        Is(&[(0, "1")]) => [Figure, numbers!(0 => [AWAKE], 1.. => [ASLEEP])],
        Always => [Word(&["2", "3", "4", "5", "6", "7"]), Optional, Figure],
    }
        "%XMODEMSLEEP: 1,36000" => [ASLEEP]
        "%XMODEMSLEEP: 1,0" => [AWAKE]
        "%XMODEMSLEEP: 2,1280" => []
    // A light search has ended without a cell at 1, a thorough one at 2. In a reset loop the modem holds off the attach for
    // half an hour, because it was restarted too often without notice.
    ["%MDMEV"] "" "events of the modem" {
        Always => [words!(
            "ME OVERHEATED" => [HOT],
            "ME BATTERY LOW" => [Fact::Power(Power::LowVoltage)],
            "SEARCH STATUS 1" => [Fact::Service(Service::Searching)],
            "SEARCH STATUS 2" => [Fact::Service(Service::Searching)],
            "RESET LOOP" => [Fact::ResetLoop],
            "PRACH CE-LEVEL 0" => [], "PRACH CE-LEVEL 1" => [], "PRACH CE-LEVEL 2" => [], "PRACH CE-LEVEL 3" => [],
        )],
    }
        "%MDMEV: SEARCH STATUS 2" => [Fact::Service(Service::Searching)]
        "%MDMEV: RESET LOOP" => [Fact::ResetLoop]
        "%MDMEV: RESET LOO" => []

    // A profile may lock technologies and bands.
    ["+UMNOPROF"] "+UMNOPROF?" ACTIVE_PROFILE { Always => [PROFILE, Optional, Rest] }
        "+UMNOPROF: 90" => [Fact::OperatorProfile("number 90".into())]
    // <image>[,<storage>[,…]].
    ["#FWSWITCH"] "#FWSWITCH?" "the operator image that is active" { Always => [PROFILE, Optional, Rest] }
        "#FWSWITCH: 1,0" => [Fact::OperatorProfile("number 1".into())]
    // "List",<index>,<selected>,<active>,"<name>",<version>,<date>; "AutoSel",<0|1>.
    ["+QMBNCFG"] "+QMBNCFG=\"List\"" ACTIVE_PROFILE {
        Is(&[(0, "List"), (3, "1")]) => [
            Text,
            Figure,
            SWITCH,
            SWITCH,
            Own(|w, f| {
                if !f.text.is_empty() {
                    w.fact(Fact::OperatorProfile(f.text.into()), f.span);
                }
                Ok(())
            }),
            Optional,
            Rest,
        ],
        Is(&[(0, "List")]) => [Text, Figure, SWITCH, SWITCH, Text, Optional, Rest],
        Always => [Text, Text],
    }
        "+QMBNCFG: \"List\",0,1,1,\"Ember-Data\",0x0501,201901" => [Fact::OperatorProfile("Ember-Data".into())]
        "+QMBNCFG: \"List\",1,0,0,\"Generic\",0x0501,201901" => []
        "+QMBNCFG: \"AutoSel\",1" => []
    // <by software>,<by hardware>: 0 off, 1 on.
    ["^RFSWITCH"] "^RFSWITCH?" "the switches of the radio" {
        Always => [
            numbers!(0 => [Fact::RadioHeld(Holder::Host)], 1 => []),
            numbers!(0 => [Fact::RadioHeld(Holder::Pin)], 1 => []),
        ],
    }
        "^RFSWITCH: 0,1" => [Fact::RadioHeld(Holder::Host)]
        "^RFSWITCH: 1,0" => [Fact::RadioHeld(Holder::Pin)]
        "^RFSWITCH: 1,1" => []
    // "csq",<index>,<ber>; "act","<technology>"; SMS DONE and PB DONE, when the card was read to the end after a start.
    ["+QIND"] "" "signal strength, technology, and marks of a start" [Rssi] {
        Is(&[(0, "csq")]) => [Text, super::level::INDEX, Figure],
        Is(&[(0, "act")]) => [
            Text,
            Own(|w, f| {
                // Without a network the word is none of a technology.
                match technology(f.text) {
                    Some(rat) => w.fact(Fact::Technology(rat), f.span),
                    None if f.quoted => {}
                    None => return Err("a technology in quotes"),
                }
                Ok(())
            }),
        ],
        Is(&[(0, "SMS DONE")]) => [words!("SMS DONE" => [Fact::Power(Power::Starting)])],
        Is(&[(0, "PB DONE")]) => [words!("PB DONE" => [Fact::Power(Power::Starting)])],
        Quoted(0) => [Text, Optional, Rest],
    }
        "+QIND: \"csq\",30,99" => [number(Quantity::Rssi, -53.0)]
        "+QIND: PB DONE" => [Fact::Power(Power::Starting)]
        "+QIND: \"act\",\"LTE\"" => [Fact::Technology(crate::case::Rat::Lte)]
}
