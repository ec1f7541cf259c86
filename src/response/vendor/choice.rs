//! Technologies and bands that the settings allow, the technology and the service in use, the lock to cells.
//!
//! From memory: `+CNMP` 19, 22, 48, 54, 60, 63, 67, 71 and 109, `^SXRAT`, `^SYSINFO`, 7 of `^MODE`.

use crate::case::{Fact, Rat, Service};
use crate::response::bands;
use crate::response::columns::Column::{self, Figure, Optional, Own, Rest, Text, Word};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::names::note_technology;
use crate::response::table::When::{Always, Fields, Is, Own as ByItself};
use crate::response::table::{numbers, responses};
use crate::response::{Field, table};

const fn technology(rat: Rat) -> Fact {
    Fact::Technology(rat)
}

fn only(rats: &[Rat]) -> Fact {
    Fact::AllowedTechnologies(rats.to_vec())
}

const SWITCH: Column = Word(&["0", "1"]);
/// 0 none, 1 restricted, 2 valid, 3 restricted to a region, 4 power saving.
const SERVICE: Column = numbers!(
    0 => [Fact::Service(Service::None)],
    1 | 3 => [Fact::Service(Service::Limited)],
    2 => [Fact::Service(Service::Normal)],
    4 => [],
);
/// 3 GSM, 5 UMTS; 7 is LTE.
const MODE: Column = numbers!(
    3 => [technology(Rat::Gsm)], 5 => [technology(Rat::Utra)], 7 => [technology(Rat::Lte)], 0..=99 => [],
);
/// 0 none, 1 to 3 GSM, 4 to 6 UMTS, 8 LTE, 9 NB-IoT; 7 is HSPA+ with some firmware and LTE-M with other.
const IN_USE: Column = numbers!(
    0 => [Fact::Service(Service::None)],
    1..=3 => [technology(Rat::Gsm)],
    4..=6 => [technology(Rat::Utra)],
    7 => [],
    8 => [technology(Rat::Lte)],
    9 => [technology(Rat::NbIot)],
);
/// 0 GPRS, 1 EDGE, 2 UMTS, 3 HSDPA, 4 LTE, 5 none.
const PACKET: Column = numbers!(
    0 | 1 => [technology(Rat::Gsm)], 2 | 3 => [technology(Rat::Utra)], 4 => [technology(Rat::Lte)], 5 => [],
);
/// A mask of bands in hexadecimal digits, however long, that is not kept.
const MASK: Column = Own(|_, f| bands::hex_mask(f.text).map(|_| ()).ok_or("a mask of bands"));
const LTE_MASK: Column = Own(|w, f| mask(w, f, Rat::Lte));
const LTE_M_MASK: Column = Own(|w, f| mask(w, f, Rat::LteM));
const NB_IOT_MASK: Column = Own(|w, f| mask(w, f, Rat::NbIot));

fn mask(w: &mut FactWriter<'_>, f: &Field<'_>, rat: Rat) -> Taken {
    let on = bands::hex_mask(f.text).ok_or("a mask of bands")?;
    table::note(w, [Fact::EnabledBands(rat, on)], f.span);
    Ok(())
}

const ALLOWED: &str = "technologies that are allowed";
const USED: &str = "technology in use";
const BANDS: &str = "bands that are switched on";

responses! {
    // 2 automatic; others name technologies.
    ["+CNMP"] "+CNMP?" ALLOWED {
        Always => [numbers!(
            13 => [only(&[Rat::Gsm])],
            14 => [only(&[Rat::Utra])],
            19 | 22 => [only(&[Rat::Gsm, Rat::Utra])],
            38 => [only(&[Rat::Lte])],
            51 => [only(&[Rat::Gsm, Rat::Lte])],
            54 => [only(&[Rat::Utra, Rat::Lte])],
            39 | 67 => [only(&[Rat::Gsm, Rat::Utra, Rat::Lte])],
            71 => [only(&[Rat::Nr])],
            109 => [only(&[Rat::Lte, Rat::Nr])],
            2 | 9 | 10 | 48 | 55 | 59 | 60 | 63 => [],
        )],
    }
        "+CNMP: 38" => [only(&[Rat::Lte])]
        "+CNMP: 51" => [only(&[Rat::Gsm, Rat::Lte])]
        "+CNMP: 2" => []
        "+CNMP: 380" => []
        "AT+CNMP=?\n+CNMP: (2,13,38)" => []
    // LTE-M, NB-IoT or both, where LTE is allowed.
    ["+CMNB"] "+CMNB?" ALLOWED {
        Always => [numbers!(
            1 => [only(&[Rat::LteM])], 2 => [only(&[Rat::NbIot])], 3 => [only(&[Rat::LteM, Rat::NbIot])],
        )],
    }
        "+CMNB: 3" => [only(&[Rat::LteM, Rat::NbIot])]
    ["+KSRAT"] "+KSRAT?" ALLOWED {
        Always => [numbers!(0 => [only(&[Rat::LteM])], 1 => [only(&[Rat::NbIot])], 2 => [only(&[Rat::Gsm])])],
    }
        "+KSRAT: 1" => [only(&[Rat::NbIot])]
    // <technology>[,<preferred>[,<second>]]; combinations limit nothing that is claimed.
    ["^SXRAT"] "^SXRAT?" ALLOWED {
        Always => [
            numbers!(
                0 => [only(&[Rat::Gsm])],
                2 => [only(&[Rat::Utra])],
                3 => [only(&[Rat::Lte])],
                1 | 4..=9 => [],
            ),
            Optional,
            Figure,
            Figure,
        ],
    }
        "^SXRAT: 3" => [only(&[Rat::Lte])]
        "^SXRAT: 6,3,2" => []
    // <LTE-M>,<NB-IoT>,<GNSS>[,<preference 0..4>].
    ["%XSYSTEMMODE"] "%XSYSTEMMODE?" ALLOWED {
        Is(&[(0, "0")]) => [
            SWITCH, numbers!(0 => [only(&[])], 1 => [only(&[Rat::NbIot])]), SWITCH, Optional, Figure,
        ],
        Always => [
            SWITCH,
            numbers!(0 => [only(&[Rat::LteM])], 1 => [only(&[Rat::LteM, Rat::NbIot])]),
            SWITCH,
            Optional,
            Figure,
        ],
    }
        "%XSYSTEMMODE: 1,0,0,0" => [only(&[Rat::LteM])]
        "%XSYSTEMMODE: 1,1,1" => [only(&[Rat::LteM, Rat::NbIot])]
        "%XSYSTEMMODE: 0,1,0" => [only(&[Rat::NbIot])]
        "%XSYSTEMMODE: 0,0,1,0" => [only(&[])]

    // <technology>,<sub-technology>.
    ["^MODE"] "" USED { Always => [MODE, Optional, Figure] }
        "^MODE: 5,4" => [technology(Rat::Utra)]
        "^MODE: 0,0" => []
    // 0,<technology>; NONE where there is none, or in dual connectivity.
    ["*CNTI"] "*CNTI=0" USED {
        Always => [
            Word(&["0"]),
            Own(|w, f| if f.text.eq_ignore_ascii_case("NONE") { Ok(()) } else { note_technology(w, f) }),
        ],
    }
        "*CNTI: 0,LTE" => [technology(Rat::Lte)]
        "*CNTI: 0,NONE" => []
    // <n>,<mode> when read, <mode> as it comes by itself.
    ["+CNSMOD"] "+CNSMOD?" USED { ByItself(1) => [IN_USE], Always => [SWITCH, IN_USE] }
        "+CNSMOD: 0,8" => [technology(Rat::Lte)]
        "+CNSMOD: 0,0" => [Fact::Service(Service::None)]
        "AT+CNSMOD?\n+CNSMOD: 0" => []
    // <mode>,<technology> when read, <technology> as it comes by itself.
    ["#PSNT"] "#PSNT?" "technology of the packet service" { ByItself(1) => [PACKET], Always => [SWITCH, PACKET] }
        "#PSNT: 0,4" => [technology(Rat::Lte)]
    ["^SRVST"] "" "service state" { Always => [SERVICE] }
        "^SRVST: 1" => [Fact::Service(Service::Limited)]
    // <service>,<domain>,<roaming>,<technology>,<card>[,…].
    ["^SYSINFO"] "^SYSINFO" "service state, card state and technology" {
        Always => [SERVICE, Figure, SWITCH, MODE, super::holder::CARD, Optional, Rest],
    }
        "^SYSINFO: 1,0,0,5,1" => [Fact::Service(Service::Limited), technology(Rat::Utra), Fact::Sim(crate::case::Sim::Ready)]
    // <service>,<domain>,<roaming>,<card>,[lock],<technology>,<name>,<sub-technology>,<name>; 1 GSM, 3 UMTS, 6 LTE.
    ["^SYSINFOEX"] "^SYSINFOEX" "service state, card state and technology" {
        Always => [
            SERVICE,
            Figure,
            SWITCH,
            super::holder::CARD,
            Figure,
            numbers!(
                1 => [technology(Rat::Gsm)], 3 => [technology(Rat::Utra)], 6 => [technology(Rat::Lte)], 0..=99 => [],
            ),
            Text,
            Figure,
            Text,
        ],
    }
        "^SYSINFOEX: 2,3,0,1,,6,\"LTE\",101,\"LTE\""
            => [Fact::Service(Service::Normal), Fact::Sim(crate::case::Sim::Ready), technology(Rat::Lte)]

    // "common/4g",<count>[,<EARFCN>,<PCI>…], 0 for no lock; "common/5g",<0 | PCI>[,<ARFCN>,<spacing>,<band>].
    ["+QNWLOCK"] "+QNWLOCK=\"common/4g\"" "the lock to single cells" {
        Fields(2) => [Text, numbers!(0 => [Fact::CellLock(false)])],
        Always => [
            Word(&["common/4g", "common/5g", "common/lte"]),
            Figure,
            numbers!(0.. => [Fact::CellLock(true)]),
            Figure,
            Optional,
            Rest,
        ],
    }
        "+QNWLOCK: \"common/4g\",1,1300,246" => [Fact::CellLock(true)]
        "+QNWLOCK: \"common/4g\",0" => [Fact::CellLock(false)]
    // <GSM and UMTS mask>,<LTE mask>[,<TD-SCDMA mask>[,…]], up to 64 digits; the first is an enumeration of its own.
    ["+CNBP"] "+CNBP?" BANDS { Always => [MASK, LTE_MASK, Optional, MASK, Rest] }
        "+CNBP: 0x0,0x00000000000000420000000000000001,0x0" => [Fact::EnabledBands(Rat::Lte, vec![1, 66, 71])]
    // <0 LTE-M | 1 NB-IoT | 2 GSM>,<mask>; the bits of GSM are of their own kind.
    ["+KBNDCFG"] "+KBNDCFG?" BANDS {
        Is(&[(0, "0")]) => [Figure, LTE_M_MASK],
        Is(&[(0, "1")]) => [Figure, NB_IOT_MASK],
        Always => [Word(&["2"]), MASK],
    }
        "+KBNDCFG: 0,000000000000000A0A188E"
            => [Fact::EnabledBands(Rat::LteM, vec![2, 3, 4, 8, 12, 13, 18, 20, 26, 28])]
        "+KBNDCFG: 2,000000000000000A0A188E" => []
}
