//! The texts that the benchmarks read: all captures of the demo, and invented ones of 300 to 3,000
//! bytes in the dress that terminals, loggers, mail and chats give them. No two are alike.

use std::fmt::Write as _;

/// So many invented texts stand beside the demo's.
const INVENTED: u64 = 600;

/// All texts, in a fixed order.
pub(crate) fn all() -> Vec<String> {
    let mut texts = demo();
    texts.extend((1..=INVENTED).map(invented));
    texts
}

/// The demo's captures, as `explain` decodes them.
fn demo() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the demo is there")
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    files.sort();
    files
        .iter()
        .map(|path| std::fs::read(path).expect("it can be read"))
        .filter_map(|bytes| mastside::capture::decode(&bytes).ok().map(Into::into))
        .collect()
}

/// A source of numbers that is the same on every run (the constants are Knuth's, MMIX).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}

/// One dialogue in one of the usual dresses.
fn invented(seed: u64) -> String {
    let mut numbers = Numbers(seed);
    let length = 300 + usize::try_from(numbers.below(2700)).expect("a small number");
    let dress = numbers.below(8);
    let mut text = String::new();
    let mut second = numbers.below(40_000);
    while text.len() < length {
        for line in turn(&mut numbers) {
            second += numbers.below(3);
            let clock = format!("{:02}:{:02}:{:02}", second / 3600, second / 60 % 60, second % 60);
            let sent = line.starts_with("AT");
            let _ = match dress {
                0 | 1 => write!(text, "{line}\r\n"),
                2 => writeln!(
                    text,
                    "[{clock}.{:03}] {} {line}",
                    numbers.below(1000),
                    if sent { ">" } else { "<" }
                ),
                3 => writeln!(text, "> {line}"),
                4 => writeln!(
                    text,
                    "2026-03-04 {clock} hutd: {} {line}\\r\\n",
                    if sent { "TX" } else { "RX" }
                ),
                5 => write!(text, "{line} "),
                6 => writeln!(text, "{line}<CR><LF>"),
                _ => writeln!(text, "{{\"t\": {}, \"line\": {line:?}}}", 1_700_000_000 + second),
            };
        }
    }
    text
}

/// A command with its response, or a sentence.
fn turn(n: &mut Numbers) -> Vec<String> {
    let lines = |all: &[String]| all.to_vec();
    let ok = || "OK".to_owned();
    match n.below(16) {
        0 => lines(&["AT+CPIN?".into(), "+CPIN: READY".into(), ok()]),
        1 => lines(&["AT+CSQ".into(), format!("+CSQ: {},99", n.below(32)), ok()]),
        2 => lines(&[
            "AT+CESQ".into(),
            format!("+CESQ: 99,99,255,255,{},{}", n.below(35), n.below(98)),
            ok(),
        ]),
        3 => lines(&[
            "AT+CEREG?".into(),
            format!(
                "+CEREG: 2,{},\"{:04X}\",\"{:08X}\",7",
                n.below(6),
                n.below(65_000),
                n.below(1 << 28)
            ),
            ok(),
        ]),
        4 => lines(&["AT+CREG?".into(), format!("+CREG: 0,{}", n.below(6)), ok()]),
        5 => lines(&["AT+COPS?".into(), format!("+COPS: 0,2,\"001{:02}\",7", n.below(100)), ok()]),
        6 => lines(&[
            "AT+CGDCONT?".into(),
            format!("+CGDCONT: 1,\"IPV4V6\",\"gauge{}.example\",\"0.0.0.0\",0,0", n.below(1000)),
            ok(),
        ]),
        7 => lines(&[
            "AT+CGPADDR=1".into(),
            format!("+CGPADDR: 1,\"192.0.2.{}\"", n.below(255)),
            ok(),
        ]),
        8 => lines(&["AT+CFUN?".into(), format!("+CFUN: {}", n.below(2)), ok()]),
        9 => lines(&[
            "AT+QNWINFO".into(),
            format!("+QNWINFO: \"FDD LTE\",\"00101\",\"LTE BAND 3\",{}", 1200 + n.below(700)),
            ok(),
        ]),
        10 => lines(&[
            "AT+QENG=\"servingcell\"".into(),
            format!(
                "+QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,{:X},{},6300,20,3,3,900,-{},-9,-78,11,23",
                n.below(1 << 28),
                n.below(504),
                80 + n.below(50)
            ),
            ok(),
        ]),
        11 => lines(&["AT+CGATT?".into(), format!("+CGATT: {}", n.below(2)), ok()]),
        12 => lines(&["AT+CGACT=1,1".into(), format!("+CME ERROR: {}", n.below(150))]),
        13 => lines(&[format!("I waited for {} minutes and tried it again.", 2 + n.below(50))]),
        14 => lines(&[format!(
            "hut {} lost its link in the night, nothing was changed there",
            n.below(5000)
        )]),
        _ => {
            lines(&["ATI".into(), format!("Revision: R{}A{:02}", n.below(10), n.below(100)), ok()])
        }
    }
}
