//! What must not change a verdict, and what must never break: properties over made-up texts.

use mastside::capture::{Capture, decode};
use mastside::carrier::ProfileStore;
use mastside::case::Case;
use mastside::explanation::{Basis, Explanation, View, json, text};
use mastside::verdict::{Verdict, explain};
use proptest::prelude::*;

/// Clean dialogues, one command with its reply a part.
const DIALOGUES: &[&[&str]] = &[
    &["AT+CPIN?\n+CPIN: READY\nOK", "AT+CSQ\n+CSQ: 17,99\nOK", "AT+CEREG?\n+CEREG: 0,2\nOK"],
    &["AT+CPIN?\n+CME ERROR: 10", "AT+CFUN?\n+CFUN: 1\nOK"],
    &[
        "AT+CEREG=3\nOK",
        "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15\nOK",
        "AT+CESQ\n+CESQ: 99,99,255,255,24,55\nOK",
    ],
    &[
        "AT+CEREG?\n+CEREG: 0,1\nOK",
        "AT+CGACT?\n+CGACT: 1,1\nOK",
        "AT+CGPADDR=1\n+CGPADDR: 1,\"192.0.2.7\"\nOK",
    ],
    &[
        "AT+CGATT?\n+CGATT: 1\nOK",
        "AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"your.apn.here\",\"\",0,0\nOK",
        "AT+CGACT?\n+CGACT: 1,0\nOK",
    ],
    &["AT+CFUN?\n+CFUN: 4\nOK", "AT+CSQ\n+CSQ: 99,99\nOK"],
    &[
        "AT+CPSI?\n+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,27447297,112,EUTRAN-BAND3,1850,5,5,-11,-94,-63,12\nOK",
        "AT+COPS?\n+COPS: 0,0,\"Lower River Test Network\",9\nOK",
        "AT+CEREG?\n+CEREG: 0,3\nOK",
    ],
];

fn verdict(text: &str) -> Verdict {
    explain(&Case::read(&Capture::new(text)))
}

/// The explanation with every judgement, without a carrier's profile.
fn explained(text: &str) -> Explanation<'_> {
    let view = View { all: true, ..View::default() };
    Explanation::of(text, Vec::new(), &Basis::of(&ProfileStore::default()), view).unwrap()
}

fn page(explanation: &Explanation<'_>) -> String {
    let mut page = String::new();
    text(explanation, &mut page).unwrap();
    page
}

/// Ways in which a text gets dressed on its way.
#[derive(Clone, Debug)]
enum Dress {
    LineEnds(&'static str),
    Prefix(&'static str),
    Stamped,
    Escaped,
    NoEcho,
    Html,
    Words,
    Framed(Frame),
    QuotedPrintable,
    OneLine,
    Letters,
    Wrapped(usize),
}

/// A frame that a program puts around every line.
#[derive(Clone, Copy, Debug)]
enum Frame {
    Object,
    Row,
    Element,
    Table,
    Tag,
    SystemLog,
    Journal,
    Chat,
}

const FRAMES: &[Frame] = &[
    Frame::Object,
    Frame::Row,
    Frame::Element,
    Frame::Table,
    Frame::Tag,
    Frame::SystemLog,
    Frame::Journal,
    Frame::Chat,
];

impl Frame {
    fn around(self, n: usize, line: &str) -> String {
        match self {
            Self::Object => format!("{{\"t\": {}, \"line\": {line:?}}}", 1_700_000_000 + n),
            Self::Row => format!("\"{n}\",\"modem0\",\"{}\"", line.replace('"', "\"\"")),
            Self::Element => format!("<line n=\"{n}\">{line}</line>"),
            Self::Table => format!("| {n} | {line} |"),
            Self::Tag => format!("modem0: {line}"),
            Self::SystemLog => format!("Mar  4 10:00:{:02} hut gatewayd[812]: {line}", n % 60),
            Self::Journal => format!("2026-03-04T10:00:{:02}+0000 hut reader[31]: {line}", n % 60),
            Self::Chat => format!("[3/4/26, 10:{:02}] Ann: {line}", n % 60),
        }
    }
}

/// A line wrapped at its blanks, as a letter is; a word that is too long stays.
fn wrapped(line: &str, width: usize) -> String {
    let mut out = String::new();
    let mut column = 0;
    for word in line.split(' ') {
        if column > 0 && column + 1 + word.len() > width {
            out.push('\n');
            column = 0;
        } else if column > 0 {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += word.len();
    }
    out
}

fn dress(parts: &[&str], dress: &Dress) -> String {
    let clean = parts.join("\n");
    match dress {
        Dress::LineEnds(end) => clean.replace('\n', end),
        Dress::Prefix(prefix) => clean.lines().map(|l| format!("{prefix}{l}\n")).collect(),
        Dress::Stamped => clean
            .lines()
            .enumerate()
            .map(|(i, l)| {
                format!(
                    "2026-03-02 07:14:{:02}.120 {} {l}\n",
                    i % 60,
                    if l.starts_with("AT") { "TX:" } else { "RX:" }
                )
            })
            .collect(),
        Dress::Escaped => clean.replace('\n', "\\r\\n"),
        Dress::NoEcho => {
            clean.lines().filter(|l| !l.starts_with("AT")).map(|l| format!("{l}\n")).collect()
        }
        Dress::Html => {
            format!("<pre>{}</pre>", clean.replace('"', "&quot;").replace('\n', "<br>\n"))
        }
        Dress::Framed(frame) => {
            clean.lines().enumerate().map(|(n, l)| frame.around(n, l) + "\n").collect()
        }
        Dress::OneLine => clean.replace('\n', " "),
        Dress::Letters => clean.chars().map(|c| format!("{c}\n")).collect(),
        Dress::Wrapped(width) => clean.lines().map(|l| wrapped(l, *width) + "\n").collect(),
        Dress::QuotedPrintable => clean.replace('=', "=3D"),
        Dress::Words => parts
            .iter()
            .map(|p| format!("and then I saw this\n{p}\nwhatever that means\n"))
            .collect(),
    }
}

fn any_dress() -> impl Strategy<Value = Dress> {
    prop_oneof![
        prop::sample::select(&["\r\n", "\r\r\n", "\r", "<CR><LF>", "\n\n"][..])
            .prop_map(Dress::LineEnds),
        prop::sample::select(
            &["> ", ">> ", "\u{2022} ", "- ", "| ", "[12:00:01.123] ", "    "][..]
        )
        .prop_map(Dress::Prefix),
        Just(Dress::Stamped),
        Just(Dress::Escaped),
        Just(Dress::NoEcho),
        Just(Dress::Html),
        Just(Dress::Words),
        prop::sample::select(FRAMES).prop_map(Dress::Framed),
        (24usize..72).prop_map(Dress::Wrapped),
        Just(Dress::QuotedPrintable),
        Just(Dress::OneLine),
        Just(Dress::Letters),
    ]
}

proptest! {
    #[test]
    fn any_bytes_give_a_verdict_and_a_report(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        if let Ok(text) = decode(&bytes) {
            prop_assert!(!page(&explained(&text)).is_empty());
        }
    }

    #[test]
    fn any_lines_in_any_frame_give_a_verdict(
        lines in proptest::collection::vec("(OK|RDY|AT\\+CSQ|\\+CSQ: 17,99|\\+COPS: 0,0,\"é→x\",7|\\PC{0,20})", 4..24),
        frame in prop::sample::select(FRAMES),
        before in "\\PC{0,6}",
        behind in "\\PC{0,6}",
    ) {
        let framed: Vec<String> = lines
            .iter()
            .enumerate()
            .map(|(n, l)| format!("{before}{}{behind}", frame.around(n, l)))
            .collect();
        prop_assert!(!page(&explained(&framed.join("\n"))).is_empty());
    }

    #[test]
    fn any_letters_of_modems_give_a_verdict(text in "[AT+CEREGPINSQMOK:?=,\"0-9 \r\n<>\\[\\]^%#!$\\\\x]{0,300}") {
        prop_assert!(!verdict(&text).summary.is_empty());
    }

    #[test]
    fn the_dress_of_a_text_never_changes_its_verdict(parts in prop::sample::select(DIALOGUES), how in any_dress()) {
        let plain = verdict(&parts.join("\n"));
        let dressed = dress(parts, &how);
        prop_assert_eq!(verdict(&dressed).id(), plain.id(), "{}", dressed);
    }

    #[test]
    fn an_unsolicited_code_between_lines_changes_nothing(parts in prop::sample::select(DIALOGUES), at in 0usize..12, code in prop::sample::select(&["+CTZV: +04", "+CGEV: NW CLASS B", "RING", "+CMTI: \"SM\",3"][..])) {
        let clean = parts.join("\n");
        let mut lines: Vec<&str> = clean.lines().collect();
        lines.insert(at.min(lines.len()), code);
        prop_assert_eq!(verdict(&lines.join("\n")).id(), verdict(&clean).id(), "{}", lines.join("\n"));
    }

    #[test]
    fn every_piece_of_evidence_points_at_text(parts in prop::sample::select(DIALOGUES), how in any_dress()) {
        let dressed = dress(parts, &how);
        let explanation = explained(&dressed);
        for judged in &explanation.verdict().judged {
            for evidence in judged.evidence() {
                prop_assert!(!evidence.span.of(&dressed).trim().is_empty(), "{}: {:?} in {}", judged.rule.id, evidence, dressed);
            }
        }
        for o in json::object(&explanation).observed {
            prop_assert!(o.line >= 1 && o.line <= dressed.lines().count().max(dressed.split('\r').count()));
        }
        prop_assert!(!page(&explanation).is_empty());
    }
}
