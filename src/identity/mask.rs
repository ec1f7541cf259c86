//! Masking of identities. What is masked keeps its length, so that marks beside it still fit.

use std::borrow::Cow;

/// Masks subscriber, card and equipment numbers: runs of 14 to 22 digits keep their first five
/// digits (the network code of an IMSI, the issuer of an ICCID), the contents of the card's
/// identity files keep two bytes. The rest becomes `x`. Lists of network codes stay readable.
pub fn mask(text: &str) -> Cow<'_, str> {
    let mut out: Option<Vec<u8>> = None;
    let bytes = text.as_bytes();
    let card_file = text.contains("CRSM") || text.contains("CSIM");
    let mut at = 0;
    while at < bytes.len() {
        let end = at + bytes[at..].iter().take_while(|b| b.is_ascii_hexdigit()).count();
        if end == at {
            at += 1;
            continue;
        }
        let run = &bytes[at..end];
        let digits = run.iter().take_while(|b| b.is_ascii_digit()).count();
        let padding = run[digits..].iter().all(|b| matches!(b, b'F' | b'f'));
        let keep = if card_file && is_identity_file(run) {
            Some(4)
        } else if (14..=22).contains(&digits) && padding && run.len() <= 22 {
            Some(5)
        } else {
            None
        };
        if let Some(keep) = keep {
            let masked = out.get_or_insert_with(|| bytes.to_vec());
            masked[at + keep..end].fill(b'x');
        }
        at = end;
    }
    match out {
        Some(bytes) => String::from_utf8(bytes).map_or(Cow::Borrowed(text), Cow::Owned),
        None => Cow::Borrowed(text),
    }
}

/// Whether the contents of a card file are an IMSI (length 8, TS 31.102 §4.2.2), an ICCID with its
/// digits swapped (begins 98, §4.1.1) or a temporary identity (0BF6, §4.2.91).
fn is_identity_file(hex: &[u8]) -> bool {
    let imsi = hex.len() >= 18 && hex.starts_with(b"08") && matches!(hex[3], b'9' | b'1');
    let iccid = hex.len() >= 20 && hex.starts_with(b"98");
    let temporary = hex.len() >= 24 && hex[..4].eq_ignore_ascii_case(b"0BF6");
    imsi || iccid || temporary
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn identities_keep_the_network_code_and_their_length() {
        assert_eq!(mask("+CIMI: 001010123456789"), "+CIMI: 00101xxxxxxxxxx");
        assert_eq!(mask("+CCID: 8988012345678901234F"), "+CCID: 89880xxxxxxxxxxxxxxx");
        assert_eq!(mask("+CSQ: 17,99"), "+CSQ: 17,99");
        assert_eq!(
            mask("+CRSM: 144,0,\"080910101032547698\""),
            "+CRSM: 144,0,\"0809xxxxxxxxxxxxxx\""
        );
        let forbidden = "+CRSM: 144,0,\"00F110FFFFFFFFFFFFFFFFFF\"";
        assert_eq!(mask(forbidden), forbidden);
    }

    proptest! {
        #[test]
        fn masking_never_changes_the_length(text in "\\PC*") {
            prop_assert_eq!(mask(&text).len(), text.len());
        }
    }
}
