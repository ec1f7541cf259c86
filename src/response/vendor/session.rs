//! The data sessions of a module's own stack and of its network interface: state, address, calls that opened or failed.
//!
//! Some commands count contexts from 0, the network counts them from 1. From memory, but for `+CNACT`, `!SCACT`,
//! `#SGACT`, `+UUPSDA`, `+UUPSDD`, `+NETOPEN`.

use super::access_point;
use crate::case::{Cell, Fact, Quantity};
use crate::reference::status_words::SessionState;
use crate::response::Field;
use crate::response::columns::Column::{self, Figure, Optional, Own, Rest, Text, Word};
use crate::response::columns::canonical;
use crate::response::fact_writer::{FactWriter, Taken, is_hidden_name};
use crate::response::sessions;
use crate::response::table::When::{Always, Asked, Empty, Fields, Is, Quoted, Unnamed, Unseen};
use crate::response::table::{numbers, responses, words};
use std::net::{IpAddr, Ipv4Addr};

/// The number of a context, counted from 1.
const CONTEXT: Column = Own(|w, f| context(w, f, 1));
/// The same, counted from 0.
const FROM_ZERO: Column = Own(|w, f| context(w, f, 0));
/// Whether the context is open: 0 or 1.
const OPEN: Column = Own(|w, f| state(w, f, &["1"], &["0"]));
/// The same; 2 is on its way.
const OPEN_OR_BUSY: Column =
    Own(|w, f| if f.text == "2" { Ok(()) } else { state(w, f, &["1"], &["0"]) });
/// The address of the context that is open.
const ADDRESS: Column = Own(|w, f| match w.session {
    (cid, true) => sessions::address(w, cid, f),
    _ => Ok(()),
});
/// Whether the context that follows is open.
const WILL_BE: Column = Own(|w, f| {
    w.session = (1, f.text == "1");
    if matches!(f.text, "0" | "1") { Ok(()) } else { Err("0 or 1") }
});
/// The context whose state stood before it.
const THAT_IS: Column = Own(|w, f| {
    let cid = sessions::context(f, 1)?;
    w.session.0 = cid;
    w.fact(Fact::Active(cid, w.session.1), f.span);
    Ok(())
});
/// A context that was closed.
pub(super) const CLOSED: Column = Own(|w, f| {
    let cid = sessions::context(f, 1)?;
    w.fact(Fact::Active(cid, false), f.span);
    Ok(())
});
/// A call that opened the session, 0, or an error.
const CALLED: Column = Own(|w, f| {
    let well = canonical(f)? == 0;
    w.session.1 = well;
    w.fact(Fact::Opening(well), f.span);
    Ok(())
});

fn context(w: &mut FactWriter<'_>, f: &Field<'_>, first: u8) -> Taken {
    w.session.0 = sessions::context(f, first)?;
    Ok(())
}

fn state(w: &mut FactWriter<'_>, f: &Field<'_>, open: &[&str], closed: &[&str]) -> Taken {
    sessions::active(w, w.session.0, f, open, closed)?;
    w.session.1 = open.contains(&f.text);
    Ok(())
}

fn is_address(f: &Field<'_>) -> Taken {
    f.text.parse::<IpAddr>().map(|_| ()).map_err(|_| "an address")
}

/// A name that is stored for addresses of version 4, of version 6, or of both.
const NAME_4: Column = Own(|w, f| stored(w, f, "IP"));
const NAME_6: Column = Own(|w, f| stored(w, f, "IPV6"));
const NAME_46: Column = Own(|w, f| stored(w, f, "IPV4V6"));

/// Notes a name that is stored; an empty one says nothing of the session, which then uses the context's own.
#[expect(clippy::unnecessary_wraps, reason = "a column is read by its type of function")]
fn stored(w: &mut FactWriter<'_>, f: &Field<'_>, kind: &str) -> Taken {
    if !f.text.is_empty() && !is_hidden_name(f.text) {
        w.fact(Fact::Context(access_point::definition(w.session.0, kind, f, false)), f.span);
        w.fact(Fact::word(Quantity::Apn, f.text.into(), Cell::Serving), f.span);
    }
    Ok(())
}

#[cfg(test)]
fn context_of(cid: u8, kind: &str) -> Fact {
    let (kind, apn) = (kind.into(), "gauges.example".into());
    Fact::Context(crate::case::ContextDefinition { cid, kind, apn, set: false })
}

#[cfg(test)]
fn name() -> Fact {
    Fact::word(Quantity::Apn, "gauges.example".into(), Cell::Serving)
}

const STORED: &str = "the access point name of the module's own sessions";
const MODULE: &str = "data sessions and their addresses";
const INTERFACE: &str = "the session of the network interface";

responses! {
    // <cid>,<0|1>.
    ["!SCACT", "^SICA"] "!SCACT?" "which contexts are active" { Always => [CONTEXT, OPEN] }
        "!SCACT: 3,1" => [Fact::Active(3, true)]
        "!SCACT: 1,0" => [Fact::Active(1, false)]
    // <cid>,<state>,<type>[,"<address>"].
    ["+QIACT"] "+QIACT?" MODULE {
        Empty => [Rest],
        Always => [CONTEXT, OPEN, Word(&["1", "2", "3"]), Optional, ADDRESS],
    }
        "AT+QIACT?\n+QIACT:" => []
        "+QIACT: 1,1,1,\"10.x.x.x\"" => [Fact::Active(1, true), Fact::Address(1, "10.x.x.x".into())]
        "+QIACT: 1,1,1,\"192.0.2.7\"" => [Fact::Active(1, true), Fact::Address(1, "192.0.2.7".into())]
    // <cid>,<0 connecting | 1 open | 2 closing | 3 closed>,"<address>"; a form by key gives settings and is not read.
    ["+SAPBR"] "+SAPBR=2,1" MODULE {
        Always => [CONTEXT, Own(|w, f| state(w, f, &["1"], &["0", "2", "3"])), ADDRESS],
    }
        "+SAPBR: 1,1,\"192.0.2.9\"" => [Fact::Active(1, true), Fact::Address(1, "192.0.2.9".into())]
        "+SAPBR: 1,3,\"0.0.0.0\"" => [Fact::Active(1, false)]
    // <id>,<0 off | 1 on | 2 busy>,"<address>"; older: <state>,"<address>"; as it comes by itself: <id>,<word>.
    ["+CNACT"] "+CNACT?" MODULE {
        Empty => [Rest],
        Fields(3) => [FROM_ZERO, OPEN_OR_BUSY, ADDRESS],
        Quoted(1) => [OPEN_OR_BUSY, ADDRESS],
        Fields(2) => [FROM_ZERO, Own(|w, f| state(w, f, &["ACTIVE"], &["DEACTIVE"]))],
    }
        "+CNACT: 0,1,\"192.0.2.103\"" => [Fact::Active(1, true), Fact::Address(1, "192.0.2.103".into())]
        "+CNACT: 1,0,\"0.0.0.0\"" => [Fact::Active(2, false)]
        "+CNACT: 1,\"192.0.2.9\"" => [Fact::Active(1, true), Fact::Address(1, "192.0.2.9".into())]
    // <profile>,0,"<address>"; <profile>,8,<0|1>; other parameters say nothing that is kept.
    ["+UPSND"] "+UPSND=0,8" "the state and the address of a session" {
        Is(&[(1, "0")]) => [
            FROM_ZERO,
            Figure,
            Own(|w, f| sessions::address(w, w.session.0, f)),
        ],
        Is(&[(1, "8")]) => [FROM_ZERO, Figure, OPEN],
        Always => [Figure, Figure, Text],
    }
        "+UPSND: 0,8,1" => [Fact::Active(1, true)]
        "+UPSND: 0,0,\"192.0.2.7\"" => [Fact::Address(1, "192.0.2.7".into())]
    // [<id>,]ACTIVE|DEACTIVE; without an id where there is one session only.
    ["+APP PDP"] "" "a session that came up or went down" {
        Fields(1) => [words!("ACTIVE" => [Fact::Active(1, true)], "DEACTIVE" => [Fact::Active(1, false)])],
        Always => [FROM_ZERO, Own(|w, f| state(w, f, &["ACTIVE"], &["DEACTIVE"]))],
    }
        "+APP PDP: 0,DEACTIVE" => [Fact::Active(1, false)]
        "+APP PDP: ACTIVE" => [Fact::Active(1, true)]
    // <session>,<0 down | 1 up | 2 failed | 3 closed | 4 coming | 5 idle>[,…].
    ["+KCNX_IND"] "" "the state of the module's own connection" {
        Always => [
            Figure,
            numbers!(
                0 | 3 => [Fact::Active(1, false)],
                1 => [Fact::Active(1, true)],
                2 => [Fact::Opening(false)],
                4 | 5 => [],
            ),
            Optional,
            Rest,
        ],
    }
        "+KCNX_IND: 1,1,0" => [Fact::Active(1, true)]
        "+KCNX_IND: 1,2" => [Fact::Opening(false)]
    // 0 closed, 1[,<address>] open, <address>.
    ["+MIPCALL"] "+MIPCALL?" "the data session of the module's own stack" {
        Always => [
            Own(|w, f| {
                let open = f.text.parse::<Ipv4Addr>().is_ok_and(|ip| !ip.is_unspecified());
                let state = match f.text {
                    "0" => SessionState::Inactive,
                    "1" => SessionState::Active,
                    _ if open => SessionState::Active,
                    _ => return Err("0, 1 or an address"),
                };
                w.fact(Fact::Session(state), f.span);
                Ok(())
            }),
            Optional,
            Rest,
        ],
    }
        "+MIPCALL: 192.0.2.7" => [Fact::Session(SessionState::Active)]
        "+MIPCALL: 1,192.0.2.7" => [Fact::Session(SessionState::Active)]
        "+MIPCALL: 0" => [Fact::Session(SessionState::Inactive)]
        "+MIPCALL: soon" => []
    // <0, or an error>[,"<address>"]: a session that was asked for came up, or did not.
    ["+UUPSDA"] "" "a session that came up, or did not" { Always => [CALLED, Optional, ADDRESS] }
        "+UUPSDA: 0,\"192.0.2.7\"" => [Fact::Opening(true), Fact::Address(1, "192.0.2.7".into())]
        "+UUPSDA: 68,\"\"" => [Fact::Opening(false)]
    ["+UUPSDD"] "" "a session that was closed" { Always => [numbers!(0.. => [Fact::Released(false)])] }
        "+UUPSDD: 0" => [Fact::Released(false)]
    ["+CIPEVENT"] "" "a session that was closed" {
        Always => [words!("NETWORK CLOSED UNEXPECTEDLY" => [Fact::Released(false)])],
    }
        "+CIPEVENT: NETWORK CLOSED UNEXPECTEDLY" => [Fact::Released(false)]
    ["+PDP"] "" "a session that was closed" { Always => [words!("DEACT" => [Fact::Active(1, false)])] }
        "+PDP: DEACT" => [Fact::Active(1, false)]
    // <0 closed | 1 open>[,…] when read; <0, or an error> behind the command. Without it 0 and 1 may be either.
    ["+NETOPEN"] "+NETOPEN?" "the service of the module's own stack" {
        Asked => [OPEN, Optional, Rest],
        Unseen => [numbers!(0 | 1 => [], 2.. => [Fact::Opening(false)])],
        Always => [CALLED],
    }
        "AT+NETOPEN\n+NETOPEN: 0" => [Fact::Opening(true), Fact::Opening(true)]
        "AT+NETOPEN?\n+NETOPEN: 1" => [Fact::Active(1, true)]
        "+NETOPEN: 3" => [Fact::Opening(false)]
        "+NETOPEN: 0" => []

    // <instance>,<kind> of a call that came up.
    ["$QCRMCALL"] "$QCRMCALL?" "the call of the network interface" {
        Always => [
            Word(&["0", "1", "2"]),
            words!("V4" => [Fact::Opening(true)], "V6" => [Fact::Opening(true)], "V4V6" => [Fact::Opening(true)]),
        ],
    }
        "$QCRMCALL: 1, V4" => [Fact::Opening(true)]
    // <op>,<cid>,<reports on>,<state> when read, <cid>,<state> as it comes by itself.
    ["+QNETDEVCTL"] "+QNETDEVCTL?" INTERFACE {
        Fields(2) => [CONTEXT, OPEN],
        Always => [Figure, CONTEXT, Figure, OPEN],
    }
        "+QNETDEVCTL: 1,1,1,1" => [Fact::Active(1, true)]
        "+QNETDEVCTL: 1,0" => [Fact::Active(1, false)]
    // <0 down | 1 up>[,<cid>,"<address>",…].
    ["+GTRNDIS"] "+GTRNDIS?" INTERFACE {
        Fields(1) => [OPEN],
        Always => [WILL_BE, THAT_IS, Optional, ADDRESS, Rest],
    }
        "+GTRNDIS: 1,1,\"192.0.2.7\",\"192.0.2.53\",\"192.0.2.54\""
            => [Fact::Active(1, true), Fact::Address(1, "192.0.2.7".into())]
        "+GTRNDIS: 0" => [Fact::Active(1, false)]

    // <cid>,<0|1>, or the address of the context that was just activated.
    ["#SGACT"] "#SGACT?" "which contexts are active" {
        Fields(2) => [CONTEXT, OPEN],
        Unnamed => [Own(|_, f| is_address(f))],
        Always => [Own(|w, f| is_address(f).and_then(|()| sessions::address(w, w.session.0, f)))],
    }
        "#SGACT: 3,1" => [Fact::Active(3, true)]
        "AT#SGACT=2,1\n#SGACT: 192.0.2.7" => [Fact::Address(2, "192.0.2.7".into()), Fact::Opening(true)]
    // <type>,"<name>","<user>","<password>",<authentication>; the context is that of the request.
    ["+QICSGP"] "+QICSGP=1" STORED [Apn] {
        Unnamed => [Figure, Text, Text, Text, Figure],
        Is(&[(0, "1")]) => [Figure, NAME_4, Text, Text, Word(&["0", "1", "2", "3"])],
        Is(&[(0, "2")]) => [Figure, NAME_6, Text, Text, Word(&["0", "1", "2", "3"])],
        Is(&[(0, "3")]) => [Figure, NAME_46, Text, Text, Word(&["0", "1", "2", "3"])],
    }
        "AT+QICSGP=1\n+QICSGP: 1,\"gauges.example\",\"\",\"\",0" => [context_of(1, "IP"), name()]
        "AT+QICSGP=1\n+QICSGP: 1,\"\",\"\",\"\",0" => []
        "+QICSGP: 1,\"gauges.example\",\"\",\"\",0" => []
    // <id>,<type>,"<name>","<user>","<password>",<authentication>.
    ["+CNCFG"] "+CNCFG?" STORED [Apn] {
        Is(&[(1, "1")]) => [FROM_ZERO, Figure, NAME_4, Optional, Rest],
        Is(&[(1, "2")]) => [FROM_ZERO, Figure, NAME_6, Optional, Rest],
        Is(&[(1, "3")]) => [FROM_ZERO, Figure, NAME_46, Optional, Rest],
        Always => [FROM_ZERO, Word(&["0", "4"]), Own(|w, f| stored(w, f, "")), Optional, Rest],
    }
        "+CNCFG: 0,1,\"gauges.example\",\"\",\"\",0" => [context_of(1, "IP"), name()]
        "+CNCFG: 1,3,\"gauges.example\"" => [context_of(2, "IPV4V6"), name()]
    // "<name>","<user>","<password>".
    ["+CSTT"] "+CSTT?" STORED [Apn] { Always => [NAME_4, Optional, Text, Text] }
        "+CSTT: \"gauges.example\",\"\",\"\"" => [context_of(1, "IP"), name()]
    // <0 none | 1 given>,"<name>": the access point name that the network gave at the attach.
    ["+CGNAPN"] "+CGNAPN" "the access point name that the network gave" [Apn] {
        Is(&[(0, "1")]) => [
            Figure,
            Own(|w, f| {
                let name = Fact::word(Quantity::Apn, f.text.into(), Cell::Serving);
                if f.quoted { w.fact(name, f.span) }
                Ok(())
            }),
        ],
        Always => [Word(&["0"]), Optional, Text],
    }
        "+CGNAPN: 1,\"gauges.example\"" => [name()]
        "+CGNAPN: 0,\"\"" => []
}
