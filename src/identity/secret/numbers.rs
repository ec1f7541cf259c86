//! Numbers of subscriber, card and device: runs of 14 to 22 digits (TS 23.003 §2.2, §6.2; ITU-T E.118), and the
//! card's own files that hold them (TS 31.102 §4.2).

use super::found::{Secret, SecretKind};

/// Finds the numbers of one line.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let bytes = line.as_bytes();
    let card_file = line.contains("CRSM") || line.contains("CSIM");
    let mut at = 0;
    while at < bytes.len() {
        let end = at + bytes[at..].iter().take_while(|b| b.is_ascii_hexdigit()).count();
        if end == at {
            at += 1;
            continue;
        }
        let run = &bytes[at..end];
        let hexadecimal = bytes[..at].ends_with(b"0x") || bytes[..at].ends_with(b"0X");
        let kind = match card_file.then(|| identity_file(run)).flatten() {
            Some(kind) => Some((kind, 4)),
            None if is_number(run) && !hexadecimal => Some((SecretKind::Number, 5)),
            None => None,
        };
        if let Some((kind, keep)) = kind {
            found.push(Secret { range: at..end, kind, keep });
        }
        at = end;
    }
}

/// Whether a run of digits names somebody; at its end an odd number of digits may be filled up with `F`.
fn is_number(run: &[u8]) -> bool {
    let digits = run.iter().take_while(|b| b.is_ascii_digit()).count();
    let padding = run[digits..].iter().all(|b| matches!(b, b'F' | b'f'));
    // No country code, no issuer and no type of device begins so; masks of bands do.
    (14..=22).contains(&digits) && padding && run.len() <= 22 && !run.starts_with(b"000")
}

/// Whether the contents of a card file are an IMSI (length 8, TS 31.102 §4.2.2), an ICCID with its
/// digits swapped (begins 98, §4.1.1) or a temporary identity (0BF6, §4.2.91).
fn identity_file(hex: &[u8]) -> Option<SecretKind> {
    let imsi = hex.len() >= 18 && hex.starts_with(b"08") && matches!(hex[3], b'9' | b'1');
    let iccid = hex.len() >= 20 && hex.starts_with(b"98");
    let temporary = hex.len() >= 24 && hex[..4].eq_ignore_ascii_case(b"0BF6");
    match (imsi || iccid, temporary) {
        (true, _) => Some(SecretKind::SwappedNumber),
        (false, true) => Some(SecretKind::Temporary),
        (false, false) => None,
    }
}
