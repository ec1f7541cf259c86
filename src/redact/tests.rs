//! Nothing that names somebody stays, everything that the diagnosis reads does.

use super::*;
use crate::case::Case;
use crate::identity::is_checked;
use proptest::prelude::*;

fn found(text: &str) -> &'static str {
    crate::verdict::explain(&Case::read(&Capture::new(text))).id()
}

#[test]
fn the_same_secret_has_the_same_stand_in() {
    let text = "AT+CIMI\n001010123456789\nOK\nAT+CGSN\n004400152020000\nOK\nAT+CIMI\n001010123456789\nOK\n\
                AT+CRSM=176,28423,0,0,9\n+CRSM: 144,0,\"080910101032547698\"\nOK\n";
    let new = redact(text);
    let lines: Vec<&str> = new.lines().collect();
    assert_eq!(lines[1], "001010000000010");
    assert_eq!(lines[1], lines[7]);
    assert!(lines[4].starts_with("004400") && lines[4] != "004400152020000", "{}", lines[4]);
    assert!(is_checked("004400152020000") == is_checked(lines[4]), "{}", lines[4]);
    assert_eq!(
        lines[10], "+CRSM: 144,0,\"080910100000000001\"",
        "the same number in the card's file"
    );
    assert_eq!(new.lines().count(), text.lines().count());
}

#[test]
fn two_that_differ_in_one_digit_still_differ() {
    let new = redact("001010123456789 001010123456788 8988000000000000017 8988000000000000025");
    let numbers: std::collections::BTreeSet<&str> = new.split(' ').collect();
    assert_eq!(numbers.len(), 4, "{new}");
    assert!(is_checked("8988000000000000017") == is_checked(new.split(' ').nth(2).unwrap()));
}

/// The EID of the worked example is checked; ISO/IEC 7064, 97-10 leaves 1.
#[test]
fn a_number_in_groups_is_the_same_number_and_is_still_checked() {
    let new = redact(
        "IMEI 00 440115 202000 9\nimei=004401152020009\nEID 89049032123451234512345678901235\n",
    );
    let lines: Vec<&str> = new.lines().collect();
    let digits = |line: &str| line.chars().filter(char::is_ascii_digit).collect::<String>();
    assert_eq!(digits(lines[0]), digits(lines[1]));
    assert!(lines[0].starts_with("IMEI 00 4401") && !lines[0].contains("202000"), "{new}");
    let eid = digits(lines[2]);
    assert_ne!(eid, "89049032123451234512345678901235");
    let remainder = eid.bytes().fold(0, |rest, b| (rest * 10 + u64::from(b - b'0')) % 97);
    assert_eq!(remainder, 1, "{eid}");
}

#[test]
fn two_texts_of_one_modem_name_it_alike() {
    let (modem, card) = ("AT+CGSN\n004401152020008\nOK\n", "AT+CIMI\n001010123456789\nOK\n");
    let one = redact(&format!("{modem}{card}"));
    let other = redact(&format!("{card}{modem}"));
    let number = |text: &str, command: &str| -> String {
        text.split(command).nth(1).unwrap().lines().nth(1).unwrap().to_owned()
    };
    for command in ["AT+CGSN", "AT+CIMI"] {
        assert_eq!(number(&one, command), number(&other, command));
    }
}

#[test]
fn addresses_numbers_and_words_get_others_of_their_kind() {
    let new = redact(
        "+CGPADDR: 1,\"10.20.30.40\"\nATD0999123456;\nAT+CPIN=\"4821\"\nAT+CGAUTH=1,2,\"me\",\"s3cret\"\n",
    );
    let lines: Vec<&str> = new.lines().collect();
    let address = lines[0].split('"').nth(1).unwrap();
    assert!(address.parse::<std::net::Ipv4Addr>().is_ok_and(|a| a.octets()[0] == 10), "{address}");
    for secret in ["10.20.30.40", "0999123456", "4821", "\"me\"", "s3cret"] {
        assert!(!new.contains(secret), "{secret} in {new}");
    }
    assert!(lines[1].starts_with("ATD099") && lines[1].ends_with(';'));
}

#[test]
fn what_a_wrap_a_split_or_a_dump_hides_is_replaced_there() {
    let dump = "RX: 0D 0A 30 30 31 30 31 30 31 32 33 34 35 36 37 38 39 0D 0A 0D 0A 4F 4B 0D 0A\n";
    let text = format!("TX: 41 54 2B 43 49 4D 49 0D\n{dump}");
    let new = redact(&text);
    assert!(!new.contains("32 33 34 35 36 37 38 39"), "{new}");
    assert!(new.contains("30 30 31 30 31 30"), "{new}");
    assert_eq!(new.len(), text.len());
}

#[test]
fn a_redacted_capture_has_the_verdict_of_its_original() {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures");
    let mut read = 0;
    for entry in std::fs::read_dir(root).unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        if let Ok(text) = crate::capture::decode(&bytes) {
            assert_eq!(found(&redact(&text)), found(&text), "{}", path.display());
            read += 1;
        }
    }
    assert!(read >= 15);
}

fn masked(text: &str) -> String {
    super::masked(&Capture::new(text), Span::new(0, text.len()))
}

proptest! {
    #[test]
    fn a_line_alone_is_hidden_as_in_the_whole_text(
        text in "(password=|AT\\+CPIN=|00101012|3456789|30 30 31 30 31 |&lt;|<CR>|\\\\r\\\\n|=\n|[0-9]{4}|\"|\\PC|\n|\r\n){0,40}",
    ) {
        let capture = Capture::new(&text);
        let whole = masked(&text);
        for line in text.split_inclusive('\n') {
            let start = line.as_ptr() as usize - text.as_ptr() as usize;
            let span = Span::new(start, start + line.len());
            prop_assert_eq!(super::masked(&capture, span), span.of(&whole));
        }
    }

    #[test]
    fn hiding_keeps_every_byte_in_its_place(text in "(password=|AT\\+CPIN=|\\PC|[0-9\u{e9}\u{4e2d}\u{1f600}a-c\"\n]){0,60}") {
        prop_assert_eq!(masked(&text).len(), text.len());
    }

    #[test]
    fn every_line_stays_a_line_of_the_same_length(text in "[AT+CIMIDPN=: \"0-9F\\r\\n.\u{e9}]{0,200}") {
        let new = redact(&text);
        let lengths = |t: &str| t.lines().map(|l| l.chars().count()).collect::<Vec<_>>();
        prop_assert_eq!(lengths(&new), lengths(&text));
    }

    #[test]
    fn no_number_stays_as_it_is(imsi in "00101[0-9]{4}[1-8][0-9]{5}") {
        prop_assume!(redact(&imsi).len() == imsi.len());
        let own = &imsi[6..];
        prop_assume!(own.bytes().any(|b| Some(b) != own.bytes().next()));
        prop_assert_ne!(redact(&format!("+CIMI: {imsi}")), format!("+CIMI: {imsi}"));
    }
}
