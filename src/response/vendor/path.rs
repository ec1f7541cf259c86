//! What a module's own stack found out about the path: echoes, names, sockets, HTTP, FTP, MQTT, servers of time.
//!
//! A reply of the far end, also a refusal, shows that packets come back; an error of the module itself, or of its
//! request, shows nothing. Numbers of errors are the vendors' own. From memory, but for `+QPING`, `+NPING`, `+UUPING`,
//! `+HTTPACTION`, `+SHREQ`, `+CIPOPEN`, `+UUSOCO`, `+UUHTTPCR`.

use crate::case::Fact;
use crate::response::columns::Column::{self, Figure, Optional, Own, Rest, Text, Word};
use crate::response::columns::canonical;
use crate::response::table::When::{Always, Fields, Is, Own as ByItself, Quoted, Under};
use crate::response::table::{note, numbers, responses, words};
use std::net::IpAddr;

const PASSED: Fact = Fact::Traffic(true);
const LOST: Fact = Fact::Traffic(false);
const NAMED: [Fact; 2] = [Fact::NameResolved(true), PASSED];
const UNNAMED: [Fact; 2] = [Fact::NameResolved(false), LOST];

/// 0 for success; any other number is an error.
const RESULT: Column = Own(|w, f| {
    let passed = canonical(f)? == 0;
    note(w, [Fact::Traffic(passed)], f.span);
    Ok(())
});
/// 0 for success; what failed is not told apart.
const DONE: Column = numbers!(0 => [PASSED], 1.. => []);
/// The answer of a server: 0 accepted, above refused; below 0 none came.
const ANSWER: Column = numbers!(0.. => [PASSED], -999..0 => [LOST]);
/// 1 for success, 0 for an error.
const SUCCESS: Column = numbers!(0 => [LOST], 1 => [PASSED]);
/// Counts of packets or bytes that came.
const CAME: Column = numbers!(0 => [], 1.. => [PASSED]);
/// Packets that came back of those that were sent.
const RETURNED: Column = numbers!(0 => [LOST], 1.. => [PASSED]);
/// The time of an echo, whatever its unit.
const TIME: Column = numbers!(0.. => [PASSED]);
/// The time of an echo in hundreds of milliseconds, 600 for one that did not come back.
const HUNDREDS: Column = numbers!(0..600 => [PASSED], 600.. => [LOST]);
/// A status of HTTP (RFC 9110 §15), or an error of the module behind them.
const STATUS: Column = numbers!(100..=599 => [PASSED], 600..=999 => [LOST]);
/// The same, with 0 for no answer.
const STATUS_OR_NONE: Column = numbers!(0 => [LOST], 100..=599 => [PASSED]);
/// An address that a name was resolved to, or that there is none.
const FOUND: Column = Own(|w, f| {
    match f.text.to_ascii_uppercase().as_str() {
        "FAIL" | "ERROR" | "NOT SOLVED" => note(w, UNNAMED, f.span),
        address if address.parse::<IpAddr>().is_ok() => note(w, NAMED, f.span),
        _ => return Err("an address"),
    }
    Ok(())
});
/// 0 for a name that was resolved, or an error.
const NAME: Column = Own(|w, f| {
    match canonical(f)? {
        0 => note(w, NAMED, f.span),
        1.. => note(w, UNNAMED, f.span),
        _ => return Err("0, or an error"),
    }
    Ok(())
});
/// The errors of a stack from 550: 552 to 560 and 562 to 564 are of the request, 561 of the session, 565 of
/// the name.
const OPENED: Column = numbers!(
    0 => [PASSED],
    565 => [Fact::NameResolved(false), LOST],
    550 | 561 | 566..=579 => [LOST],
    551..=560 | 562..=564 => [],
);

const ECHO: &str = "whether packets come back";
const SOCKET: &str = "whether a socket was opened";
const RECEIVED: &str = "data that came from the far end";
const REQUEST: &str = "how a request of HTTP ended";
const BROKER: &str = "whether a server of MQTT was reached";
const DNS: &str = "whether a name was resolved";

responses! {
    // Each echo: <n>,"<address>",<hundreds of ms>,<ttl>.
    ["+CIPPING", "#PING"] "" ECHO { Always => [Figure, Text, HUNDREDS, Figure] }
        "#PING: 01,\"192.0.2.1\",6,50" => [PASSED]
        "+CIPPING: 2,\"192.0.2.1\",600,255" => [LOST]
    // Each echo: <n>,<address>,<ms>[,<ttl>].
    ["%PINGCMD", "+PING", "+SNPING4", "+SNPING6"] "" ECHO {
        Is(&[(0, "TIMEOUT")]) => [words!("TIMEOUT" => [LOST])],
        Always => [Figure, Text, TIME, Optional, Figure],
    }
        "%PINGCMD: 1,\"192.0.2.1\",310,55" => [PASSED]
        "+PING: 1,192.0.2.1,310,55" => [PASSED]
        "+SNPING4: 1,192.0.2.1,310" => [PASSED]
    // Each echo: 0,"<address>",<bytes>,<ms>,<ttl>; an error, 569 for one that did not come back; the sum: 0,<sent>,
    // <returned>,<lost>,<ms>,<ms>,<ms>.
    ["+QPING"] "" ECHO {
        Fields(1) => [RESULT],
        Fields(5) => [Word(&["0"]), Text, Figure, TIME, Figure],
        Always => [Word(&["0"]), Figure, RETURNED, Figure, Figure, Figure, Figure],
    }
        "+QPING: 0,\"192.0.2.1\",32,69,53" => [PASSED]
        "+QPING: 0,4,0,4,0,0,0" => [LOST]
        "+QPING: 569" => [LOST]
    // 1,<address>,<bytes>,<ms>,<ttl>; 2 for one that did not come back; 3 the sum as above.
    ["+CPING"] "" ECHO {
        Is(&[(0, "1")]) => [Figure, Text, Figure, TIME, Figure],
        Is(&[(0, "2")]) => [numbers!(2 => [LOST])],
        Is(&[(0, "3")]) => [Figure, Figure, RETURNED, Figure, Figure, Figure, Figure],
    }
        "+CPING: 1,192.0.2.1,64,410,255" => [PASSED]
        "+CPING: 2" => [LOST]
        "+CPING: 3,4,0,4,0,0,0" => [LOST]
    // +NPING: <n>,<address>,<ttl>,<ms>; +NPINGERR: 1 timeout, 2 cannot be sent.
    ["+NPING", "+NPINGERR"] "" ECHO {
        Under("+NPING") => [Figure, Text, Figure, TIME],
        Always => [numbers!(1 | 2 => [LOST])],
    }
        "+NPING:1,192.0.2.1,51,1024" => [PASSED]
        "+NPINGERR:1" => [LOST]
    // <n>,<bytes>,"<name>","<address>",<ttl>,<ms>, -1 for one that did not come back; +UUPINGER: an error.
    ["+UUPING", "+UUPINGER"] "" ECHO {
        Under("+UUPINGER") => [RESULT],
        Always => [Figure, Figure, Text, Text, Figure, numbers!(-1 => [LOST], 0.. => [PASSED])],
    }
        "+UUPING: 1,32,\"host.example\",\"192.0.2.1\",55,310" => [PASSED]
        "+UUPING: 1,32,\"host.example\",\"192.0.2.1\",55,-1" => [LOST]
        "+UUPINGER: 13" => [LOST]
    // <seconds> seconds, or the word.
    ["#XPING"] "" ECHO {
        Is(&[(0, "timeout")]) => [words!("timeout" => [LOST])],
        Always => [Own(|w, f| {
            f.decimal().ok_or("seconds")?;
            note(w, [PASSED], f.span);
            Ok(())
        })],
    }
        "#XPING: 0.287 seconds" => [PASSED]
        "#XPING: timeout" => [LOST]
    ["+ECPING"] "" ECHO {
        Always => [words!("SUCC" => [PASSED], "FAIL" => [LOST], "DONE" => []), Optional, Rest],
    }
        "+ECPING: FAIL" => [LOST]

    // 1,"<name>","<address>"[,"<address>"], or 0,<error>.
    ["+CDNSGIP"] "" DNS {
        Is(&[(0, "1")]) => [Word(&["1"]), Text, FOUND, Optional, Text],
        Is(&[(0, "0")]) => [Own(|w, f| { note(w, UNNAMED, f.span); Ok(()) }), Figure],
    }
        "+CDNSGIP: 1,\"host.example\",\"192.0.2.1\"" => [Fact::NameResolved(true), PASSED]
        "+CDNSGIP: 0,8" => [Fact::NameResolved(false), LOST]
    // <0, or an error>[,<count>,<life>], then each address.
    ["+QIDNSGIP"] "" DNS { Quoted(0) => [Text], Always => [NAME, Optional, Rest] }
        "+QIDNSGIP: 0,1,600" => [Fact::NameResolved(true), PASSED]
        "+QIDNSGIP: 565" => [Fact::NameResolved(false), LOST]
        "+QIDNSGIP: \"192.0.2.4\"" => []
    ["+UDNSRN", "#XGETADDRINFO", "+QDNS"] "" DNS { Always => [FOUND] }
        "+UDNSRN: \"192.0.2.1\"" => [Fact::NameResolved(true), PASSED]
        "+QDNS:FAIL" => [Fact::NameResolved(false), LOST]
    ["#QDNS", "+SQNDNSLKUP", "+MIPDNS"] "" DNS { Always => [Text, FOUND] }
        "#QDNS: \"host.example\",\"192.0.2.1\"" => [Fact::NameResolved(true), PASSED]
        "#QDNS: \"host.example\",\"NOT SOLVED\"" => [Fact::NameResolved(false), LOST]

    // <id>,<0, or an error>; a read has more fields and says nothing of the path.
    ["+CIPOPEN", "+CAOPEN", "+CCHOPEN", "+UUSOCO"] "" SOCKET { Always => [Figure, RESULT] }
        "+CIPOPEN: 0,0" => [PASSED]
        "+CAOPEN: 0,12" => [LOST]
        "+UUSOCO: 0,12" => [LOST]
    ["+QIOPEN", "+QSSLOPEN"] "" SOCKET { Always => [Figure, OPENED] }
        "+QIOPEN: 0,0" => [PASSED]
        "+QIOPEN: 0,566" => [LOST]
        "+QIOPEN: 0,563" => []
        "+QIOPEN: 0,565" => [Fact::NameResolved(false), LOST]
    // <0, or an error>,<words>; 561 is the session that could not be opened, and no error proves nothing.
    ["+QIGETERROR"] "+QIGETERROR" "why the last command of the module's own stack failed" {
        Always => [
            numbers!(
                0 | 551..=560 | 562..=564 => [],
                561 => [Fact::Opening(false)],
                565 => [Fact::NameResolved(false), LOST],
                550 | 566..=579 => [LOST],
            ),
            Rest,
        ],
    }
        "+QIGETERROR: 561,open PDP context failed" => [Fact::Opening(false)]
        "+QIGETERROR: 566,socket connect failed" => [LOST]
        "+QIGETERROR: 0,operate successfully" => []
    // <id>,1 for ready; of errors 0 is no network, 4 and 5 a connection that failed.
    ["+KTCP_IND", "+KUDP_IND"] "" SOCKET { Always => [Figure, numbers!(1 => [PASSED])] }
        "+KTCP_IND: 1,1" => [PASSED]
    ["+KTCP_NOTIF", "+KUDP_NOTIF", "+KHTTP_ERROR", "+KFTP_ERROR"] "" SOCKET {
        Always => [Figure, numbers!(0 | 4 | 5 => [LOST], 1..=30 => []), Optional, Figure],
    }
        "+KTCP_NOTIF: 1,4" => [LOST]
        "+KTCP_NOTIF: 1,8" => []
    ["#XCONNECT"] "" SOCKET { Always => [SUCCESS] }
        "#XCONNECT: 1" => [PASSED]
    ["#XTCPCLI", "#XUDPCLI"] "" SOCKET {
        Always => [Figure, words!("connected" => [PASSED], "not connected" => [LOST], "disconnected" => [])],
    }
        "#XTCPCLI: 2,\"connected\"" => [PASSED]
        "#XTCPCLI: -113,\"not connected\"" => [LOST]
    ["+MIPOPEN"] "" SOCKET { Always => [Figure, SUCCESS] }
        "+MIPOPEN: 1,1" => [PASSED]
    // <id>,<0 closed by the far end | 1 connected | 2 listening>.
    ["+CASTATE"] "" SOCKET { Always => [Figure, numbers!(1 => [PASSED], 0 | 2 => [])] }
        "+CASTATE: 0,1" => [PASSED]
    // <id>,1 for ready to send, as it comes by itself; a read counts bytes.
    ["^SISW"] "" SOCKET {
        ByItself(2) => [Figure, numbers!(1 => [PASSED], 0 | 2 => [])],
        Always => [Figure, Figure, Optional, Rest],
    }
        "^SISW: 0,1" => [PASSED]
        "^SISW: 0,15,15" => []

    // <id>,<bytes>: data that wait to be read.
    ["+UUSORD", "+UUSORF", "+NSONMI", "+KTCP_DATA", "+KUDP_DATA", "+SQNSRING", "^SISR"] "" RECEIVED {
        Always => [Figure, CAME, Optional, Rest],
    }
        "+UUSORD: 0,32" => [PASSED]
        "+NSONMI:1,24" => [PASSED]
        "^SISR: 0,0" => []
    // "recv",<id> or "closed",<id> of a socket with TLS.
    ["+QSSLURC"] "" RECEIVED { Always => [words!("recv" => [PASSED], "closed" => []), Optional, Rest] }
        "+QSSLURC: \"recv\",1" => [PASSED]
    // <sent>,<acknowledged by the far end>,<not yet>.
    ["+QISEND"] "" "bytes that the far end acknowledged" { Always => [Figure, CAME, Figure] }
        "+QISEND: 24,24,0" => [PASSED]
        "+QISEND: 24,0,24" => []
    // Events of the module's own stack: the session closed, a name, data, a socket.
    ["+QIURC"] "" "events of the module's own stack" {
        Is(&[(0, "pdpdeact")]) => [Text, super::session::CLOSED],
        Is(&[(0, "recv")]) => [words!("recv" => [PASSED]), Optional, Rest],
        Quoted(1) => [Word(&["dnsgip"]), Text],
        Is(&[(0, "dnsgip")]) => [Text, NAME, Optional, Figure, Figure],
        Always => [Word(&["closed", "incoming", "incoming full"]), Optional, Rest],
    }
        "+QIURC: \"pdpdeact\",1" => [Fact::Active(1, false)]
        "+QIURC: \"recv\",0" => [PASSED]
        "+QIURC: \"closed\",0" => []
        "+QIURC: \"dnsgip\",565" => [Fact::NameResolved(false), LOST]
        "+QIURC: \"dnsgip\",0,1,600" => [Fact::NameResolved(true), PASSED]

    // <method>,<status>,<length>; from 600 the module's own errors: no network, no name, no answer.
    ["+HTTPACTION"] "" REQUEST { Always => [Word(&["0", "1", "2", "3", "4"]), STATUS, Figure] }
        "+HTTPACTION: 0,404,0" => [PASSED]
        "+HTTPACTION: 0,603,0" => [LOST]
        "+HTTPACTION: 0,20" => []
    ["+SHREQ"] "" REQUEST { Always => [Text, STATUS, Figure] }
        "+SHREQ: \"GET\",200,387" => [PASSED]
        "+SHREQ: \"GET\",601,0" => [LOST]
    ["#HTTPRING", "+SQNHTTPRING"] "" REQUEST { Always => [Figure, STATUS_OR_NONE, Optional, Rest] }
        "#HTTPRING: 0,200,\"text/html\",1024" => [PASSED]
        "+SQNHTTPRING: 0,0,\"\",0" => [LOST]
    // <0, or an error>[,<status>[,<length>]]; 703 (busy) and 730 up (parameters) are of the module itself.
    ["+QHTTPGET", "+QHTTPPOST", "+QHTTPPUT"] "" REQUEST {
        Always => [
            numbers!(0 | 703 | 730.. => [], 701 | 702 | 704..730 => [LOST]),
            Optional,
            STATUS,
            Figure,
        ],
    }
        "+QHTTPGET: 0,200,1024" => [PASSED]
        "+QHTTPGET: 714" => [LOST]
        "+QHTTPPOST: 703" => []
    // #XHTTPCREQ: <0, or an error>; #XHTTPCRSP: <bytes>,<0 | 1 finished>.
    ["#XHTTPCRSP", "#XHTTPCREQ"] "" REQUEST {
        Always => [numbers!(-999..0 => [LOST], 0 => [], 1.. => [PASSED]), Optional, Figure],
    }
        "#XHTTPCRSP: 341,1" => [PASSED]
        "#XHTTPCREQ: -116" => [LOST]
    // <profile>,<command>,<0 failed | 1 done>.
    ["+UUHTTPCR"] "" REQUEST { Always => [Figure, Figure, SUCCESS, Optional, Rest] }
        "+UUHTTPCR: 0,1,1" => [PASSED]
        "+UUHTTPCR: 0,1,0" => [LOST]
    // <command>,<0 failed | 1 done>.
    ["+UUFTPCR", "+UUMQTTC"] "" "how a command of FTP or MQTT ended" {
        Always => [Figure, SUCCESS, Optional, Rest],
    }
        "+UUFTPCR: 1,0" => [LOST]
        "+UUMQTTC: 1,1" => [PASSED]
    // <0, or an error>,<answer of the server>: 604 no name, 605 no network, 609 no answer.
    ["+QFTPOPEN", "+QFTPCWD", "+QFTPGET", "+QFTPPUT", "+QFTPLIST"] "" "how a command of FTP ended" {
        Always => [numbers!(0 => [PASSED], 604 | 605 | 609 => [LOST], 601..=640 => []), Optional, Figure],
    }
        "+QFTPOPEN: 0,0" => [PASSED]
        "+QFTPOPEN: 605,0" => [LOST]
    // 1,<1 ready | 0 done | an error>: 61 no network, 62 no name, 63 no connection, 64 no answer; 2,<bytes>: data follow.
    ["+FTPGET", "+FTPPUT", "+FTPLIST"] "" "how a command of FTP ended" {
        Is(&[(0, "1")]) => [
            Figure,
            numbers!(0 | 1 => [PASSED], 61..=64 => [LOST], 65..=99 => []),
            Optional,
            Figure,
        ],
        Is(&[(0, "2")]) => [Figure, CAME],
    }
        "+FTPGET: 1,1" => [PASSED]
        "+FTPPUT: 1,63" => [LOST]
    ["+CFTPSLOGIN", "+CFTPSGETFILE", "+CFTPSPUTFILE", "+CFTPGETFILE", "+CFTPPUTFILE"] ""
        "how a command of FTP ended" { Always => [DONE] }
        "+CFTPSLOGIN: 0" => [PASSED]
        "+CFTPSLOGIN: 13" => []

    // <id>,<0, or an error>[,<return code>].
    ["+QMTOPEN", "+QMTCONN", "+CMQTTCONNECT", "+CMQTTPUB", "+CMQTTSUB"] "" BROKER {
        Always => [Figure, RESULT, Optional, Figure],
    }
        "+QMTOPEN: 0,5" => [LOST]
        "+QMTCONN: 0,0,0" => [PASSED]
        "+CMQTTCONNECT: 0,3" => [LOST]
        "+CMQTTPUB: 0,0" => [PASSED]
    // <id>,<message>,<0 sent and answered | 1 sent again | 2 failed>[,…].
    ["+QMTPUB", "+QMTPUBEX", "+QMTSUB", "+QMTUNS"] "" BROKER {
        Always => [Figure, Figure, numbers!(0 => [PASSED], 1 => [], 2 => [LOST]), Optional, Rest],
    }
        "+QMTPUBEX: 0,1,0" => [PASSED]
        "+QMTPUB: 0,1,2" => [LOST]
        "+QMTPUB: 0,1,1,3" => []
    // A message that came, with its topic; without one a message waits, or a read.
    ["+QMTRECV"] "" BROKER {
        Quoted(2) => [Figure, numbers!(0.. => [PASSED]), Text, Optional, Rest],
        Always => [Figure, Figure, Optional, Rest],
    }
        "+QMTRECV: 0,0,\"gauge/set\",\"1\"" => [PASSED]
        "+QMTRECV: 0,0" => []
    // <event>,<result>: 0 answers the connection.
    ["#XMQTTEVT"] "" BROKER {
        Is(&[(0, "0")]) => [Figure, RESULT],
        Always => [Figure, Figure],
    }
        "#XMQTTEVT: 0,0" => [PASSED]
        "#XMQTTEVT: 0,-116" => [LOST]
        "#XMQTTEVT: 1,0" => []
    ["+SQNSMQTTONCONNECT", "+SQNSMQTTONPUBLISH", "+SQNSMQTTONSUBSCRIBE"] "" BROKER {
        Under("+SQNSMQTTONCONNECT") => [Figure, ANSWER],
        Always => [Figure, Text, ANSWER],
    }
        "+SQNSMQTTONCONNECT: 0,0" => [PASSED]

    // +CNTP: 1[,"<time>"], or 61 to 65, 61 of the network itself, 62 of the name, 64 of the request.
    ["+CNTP"] "" "whether a server of time answered" {
        Always => [numbers!(1 => [PASSED], 61..=63 | 65 => [LOST], 64 => []), Optional, Text],
    }
        "+CNTP: 1" => [PASSED]
        "+CNTP: 61" => [LOST]
    ["+QNTP"] "" "whether a server of time answered" { Always => [RESULT, Optional, Text] }
        "+QNTP: 0,\"2026/03/04,10:11:12+00\"" => [PASSED]
        "+QNTP: 569" => [LOST]
}
