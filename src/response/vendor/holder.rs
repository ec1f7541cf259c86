//! The card, its holder, its codes and its slot, and the lock of the device to a network.
//!
//! From memory: `^CARDMODE`, `^CARDLOCK`, `^SIMDET`, `+CSDT`.

use crate::case::{Fact, Service, Sim};
use crate::response::Field;
use crate::response::columns::Column::{self, Figure, Optional, Own, Rest, Text, Word};
use crate::response::table::When::{Always, Fields, Is, Own as ByItself};
use crate::response::table::{numbers, responses, words};

const READY: Fact = Fact::Sim(Sim::Ready);
const INSERTED: Fact = Fact::Sim(Sim::Inserted);
const ABSENT: Fact = Fact::Sim(Sim::NotInserted);

/// Whether a card is in the holder.
const STATE: Column = numbers!(0 => [ABSENT], 1 => [INSERTED]);
/// The same; 2 is its code open, 3 read to the end.
const PROGRESS: Column = numbers!(0 => [ABSENT], 1 => [INSERTED], 2 | 3 => [READY]);
/// 1 valid, 255 absent; others are not verified.
pub(super) const CARD: Column = Own(|w, f| {
    match f.text {
        "1" => w.fact(READY, f.span),
        "255" => w.fact(ABSENT, f.span),
        "" | "0" | "2" | "3" | "4" | "240" => {}
        _ => return Err("a card state"),
    }
    Ok(())
});
/// A slot counted from 1.
const SLOT: Column = numbers!(
    1 => [Fact::SimSlot(1)], 2 => [Fact::SimSlot(2)], 3 => [Fact::SimSlot(3)], 4 => [Fact::SimSlot(4)],
);
/// A slot counted from 0.
const SLOT_FROM_ZERO: Column = numbers!(
    0 => [Fact::SimSlot(1)], 1 => [Fact::SimSlot(2)], 2 => [Fact::SimSlot(3)], 3 => [Fact::SimSlot(4)],
);
const SWITCH: Column = Word(&["0", "1"]);
/// The level of a card that is in, where the switch is read, and where it is not.
const LEVEL_ON: Column = numbers!(
    0 => [Fact::CardDetection(true, Some(false))], 1 => [Fact::CardDetection(true, Some(true))],
);
const LEVEL_OFF: Column = numbers!(
    0 => [Fact::CardDetection(false, Some(false))], 1 => [Fact::CardDetection(false, Some(true))],
);
/// Whether the holder's switch is read.
const WATCHED: Column =
    numbers!(0 => [Fact::CardDetection(false, None)], 1 => [Fact::CardDetection(true, None)]);

fn attempts(field: &Field<'_>) -> Result<u8, &'static str> {
    field.text.parse().ok().filter(|n| *n <= 10).ok_or("attempts, 0 to 10")
}

const IS_THERE: &str = "whether a card is there";
const IN_USE: &str = "the card slot in use";
const DETECTION: &str = "how the card holder is watched";

responses! {
    // <reports on>,<0 removed | 1 inserted | 2 not detected yet>, by the holder's switch; the same as it comes by itself.
    ["+QSIMSTAT"] "+QSIMSTAT?" IS_THERE {
        Always => [SWITCH, numbers!(0 => [ABSENT], 1 => [INSERTED], 2 => [])],
    }
        "+QSIMSTAT: 0,1" => [INSERTED]
        "+QSIMSTAT: 1,0" => [ABSENT]
        "+QSIMSTAT: 0,2" => []
    // <mode>,<state> when read, <state> as it comes by itself.
    ["#QSS"] "#QSS?" "whether a card is there, and its state" {
        ByItself(1) => [PROGRESS],
        Always => [Word(&["0", "1", "2"]), PROGRESS],
    }
        "#QSS: 2,1" => [INSERTED]
        "#QSS: 2,3" => [READY]
        "#QSS: 0" => [ABSENT]
        "AT#QSS?\n#QSS: 2" => []
    // <reports on>,<state> when read, <state> as it comes by itself.
    ["^SCKS"] "^SCKS?" IS_THERE { ByItself(1) => [STATE], Always => [SWITCH, STATE] }
        "^SCKS: 1,0" => [ABSENT]
        "^SCKS: 0,1" => [INSERTED]
        "AT^SCKS?\n^SCKS: 0" => []
    // A card has started: 0 a SIM, 1 a USIM.
    ["+QUSIM"] "" "a card has started" { Always => [numbers!(0 | 1 => [INSERTED])] }
        "+QUSIM: 1" => [INSERTED]
    // <state>[,<lock>].
    ["^SIMST"] "" "the state of the card" { Always => [CARD, Optional, Figure] }
        "^SIMST: 255,0" => [ABSENT]
        "^SIMST: 1" => [READY]
    // The kind of card: 0 none, 1 SIM, 2 USIM, 6 an unknown one.
    ["^CARDMODE"] "^CARDMODE" "the kind of card" { Always => [numbers!(0 => [ABSENT], 1 | 2 => [INSERTED])] }
        "^CARDMODE: 2" => [INSERTED]
        "^CARDMODE: 0" => [ABSENT]
    // What the start has read of the card, a sum: 1 its code is open, 2 messages, 4 phone book.
    ["+QINISTAT"] "+QINISTAT" "what the start has read of the card" {
        Always => [numbers!(0 => [], 1..=7 => [READY])],
    }
        "+QINISTAT: 7" => [READY]
        "+QINISTAT: 0" => []
    // NOT AVAILABLE comes with the radio off as well, so that it says nothing of the card.
    ["+SIM", "+SIMCARD"] "" "a card that comes or goes" {
        Always => [words!(
            "Inserted" => [INSERTED], "Removed" => [ABSENT], "Ready" => [READY], "Not available" => [],
        )],
    }
        "+SIM: Removed" => [ABSENT]
        "+SIMCARD: NOT AVAILABLE" => []
    // "SC"|"P2",<PIN attempts>,<PUK attempts>.
    ["+QPINC"] "+QPINC?" "attempts left for each code" {
        Is(&[(0, "SC")]) => [
            Text,
            Own(|w, f| attempts(f).map(|n| w.fact(Fact::PinTries(n), f.span))),
            Own(|w, f| attempts(f).map(|n| w.fact(Fact::PukTries(n), f.span))),
        ],
        Always => [Word(&["P2"]), Figure, Figure],
    }
        "+QPINC: \"SC\",2,10" => [Fact::PinTries(2), Fact::PukTries(10)]
        "+QPINC: \"P2\",3,10" => []

    ["+QUIMSLOT"] "+QUIMSLOT?" IN_USE { Always => [SLOT] }
        "+QUIMSLOT: 1" => [Fact::SimSlot(1)]
        "+QUIMSLOT: 0" => []
    ["#SIMSELECT"] "#SIMSELECT?" IN_USE { Always => [SLOT, Optional, Rest] }
        "#SIMSELECT: 2" => [Fact::SimSlot(2)]
    // TS 27.007 §8.77: <card slot> from 0.
    ["+CSUS"] "+CSUS?" IN_USE { Always => [SLOT_FROM_ZERO] }
        "+CSUS: 1" => [Fact::SimSlot(2)]
    // <slot> from 0; 3 stands for "automatic", and then a second field gives the slot.
    ["!UIMS"] "!UIMS?" IN_USE {
        Is(&[(0, "3")]) => [Word(&["3"]), Optional, SLOT_FROM_ZERO],
        Always => [SLOT_FROM_ZERO],
    }
        "!UIMS: 0" => [Fact::SimSlot(1)]
        "!UIMS: 3,1" => [Fact::SimSlot(2)]
    // <slot from 0>,"SUB<n>","<service>": L, N, W for a technology, or words.
    ["+GTDUALSIM"] "+GTDUALSIM?" IN_USE {
        Always => [
            SLOT_FROM_ZERO,
            Optional,
            Text,
            Own(|w, f| {
                if f.text.eq_ignore_ascii_case("NO SERVICE") {
                    w.fact(Fact::Service(Service::None), f.span);
                }
                if f.quoted { Ok(()) } else { Err("a service in quotes") }
            }),
            Rest,
        ],
    }
        "+GTDUALSIM : 1, \"SUB1\", \"L\"" => [Fact::SimSlot(2)]
        "+GTDUALSIM: 0, \"SUB1\", \"NO SERVICE\"" => [Fact::SimSlot(1), Fact::Service(Service::None)]

    // <enabled>,<level of a card that is in>. Detection with the wrong level lets a card that is there look absent.
    ["+QSIMDET"] "+QSIMDET?" DETECTION {
        Is(&[(0, "1")]) => [SWITCH, LEVEL_ON],
        Always => [SWITCH, LEVEL_OFF],
    }
        "+QSIMDET: 1,0" => [Fact::CardDetection(true, Some(false))]
        "+QSIMDET: 0,1" => [Fact::CardDetection(false, Some(true))]
    ["^SIMDET"] "^SIMDET?" DETECTION {
        Fields(1) => [WATCHED],
        Is(&[(0, "1")]) => [SWITCH, LEVEL_ON],
        Always => [SWITCH, LEVEL_OFF],
    }
        "^SIMDET: 1,0" => [Fact::CardDetection(true, Some(false))]
        "^SIMDET: 0" => [Fact::CardDetection(false, None)]
    ["+CSDT"] "+CSDT?" DETECTION { Always => [WATCHED] }
        "+CSDT: 1" => [Fact::CardDetection(true, None)]
        "+CSDT: 0" => [Fact::CardDetection(false, None)]
    // <0 "no card" forced | 1 "card" forced | 2 by the pin>,<pin>. On some modules the first field is a slot, perhaps not
    // the one in use, so that only a mode of 2 tells of a missing card, and only a pin of 1 of a card.
    ["#SIMDET"] "#SIMDET?" "how the card holder is watched, and whether a card is there" {
        Always => [
            numbers!(0 | 1 => [], 2 => [Fact::CardDetection(true, None)]),
            numbers!(0 => [], 1 => [INSERTED]),
        ],
    }
        "#SIMDET: 2,1" => [Fact::CardDetection(true, None), INSERTED]
        "#SIMDET: 2,0" => [Fact::CardDetection(true, None)]
        "#SIMDET: 1,0" => []

    // <1 a code unlocks it | 2 not locked | 3 locked for good>,<attempts>[,<network>].
    ["^CARDLOCK"] "^CARDLOCK?" "the lock of the device to a network" {
        Always => [
            numbers!(1 | 3 => [Fact::Facility("PN".into(), true)], 2 => [Fact::Facility("PN".into(), false)]),
            Figure,
            Optional,
            Figure,
        ],
    }
        "^CARDLOCK: 2,10,0" => [Fact::Facility("PN".into(), false)]
        "^CARDLOCK: 1,10,0" => [Fact::Facility("PN".into(), true)]
}
