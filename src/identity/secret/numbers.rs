//! Numbers of subscriber, card and device: runs of 14 to 22 or of 32 digits (TS 23.003 §2.2, §6.2; ITU-T E.118; the
//! 32 digits of an eUICC begin with 89, too), the same printed in groups (`grouped`), and the card's own files that
//! hold them (TS 31.102 §4.2).

use super::found::{Secret, SecretKind};
use super::grouped;

/// So many digits of a number may be seen: those of its network, issuer or type of device.
pub(super) const KEPT: usize = 5;

/// Finds the numbers of one line.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    grouped::find(line, found);
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
            None if is_number(run) && !hexadecimal => Some((SecretKind::Number, KEPT)),
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
    let card_of_device = run.len() == 32 && digits == 32 && run.starts_with(b"89");
    // No country code, no issuer and no type of device begins so; masks of bands do.
    let number = (14..=22).contains(&digits) && run.len() <= 22 && !run.starts_with(b"000");
    card_of_device || number && padding && !is_moment(&run[..digits])
}

/// Whether digits are a day and a time, with milliseconds or without: no identity begins with the years meant here.
fn is_moment(digits: &[u8]) -> bool {
    let text = std::str::from_utf8(digits).unwrap_or_default();
    matches!(digits.len(), 14 | 17)
        && matches!(&text[..2], "19" | "20")
        && chrono::NaiveDateTime::parse_from_str(&text[..14], "%Y%m%d%H%M%S").is_ok()
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
