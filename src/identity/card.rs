//! The contents of the files of a card (TS 31.102 §4.2, TS 51.011 §10, TS 102 221 §13).

use super::plmn::Plmn;

/// What a file's bytes say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decoded {
    /// EF_IMSI: the subscriber number.
    Imsi(String),
    /// EF_ICCID: the card number.
    Iccid(String),
    /// EF_AD: operation mode, and the length of the network code where it is given.
    Administrative {
        /// 0 normal, 0x80 type approval, 2 maintenance, 4 cell test.
        mode: u8,
        /// Digits of the network code.
        mnc_digits: Option<u8>,
    },
    /// EF_SPN: the provider's name.
    ProviderName(String),
    /// EF_GID1, EF_GID2: a group, hexadecimal.
    Group(String),
    /// EF_FPLMN: networks, empty places left out.
    Networks(Vec<Plmn>),
    /// EF_PLMNwAcT, EF_OPLMNwAcT, EF_HPLMNwAcT: networks with their technologies (TS 31.102 §4.2.5).
    NetworksWithTechnology(Vec<(Plmn, Vec<&'static str>)>),
    /// EF_LOCI, EF_PSLOCI: temporary identity, network, area, and the update state.
    Location {
        /// The network.
        plmn: Option<Plmn>,
        /// Location area code, hexadecimal; in EF_PSLOCI followed by the routing area.
        area: String,
        /// What the update state says.
        state: &'static str,
    },
    /// EF_EPSLOCI: last registered tracking area and its state.
    EpsLocation {
        /// The network.
        plmn: Option<Plmn>,
        /// Tracking area code, hexadecimal.
        tac: String,
        /// What the update state says.
        state: &'static str,
    },
    /// EF_ACC: access control classes that are set.
    AccessClasses(Vec<u8>),
    /// EF_HPPLMN: the period of the search for the home network, in minutes; 0 for none.
    SearchPeriod(u16),
}

/// Digits with the halves of each byte swapped; values above nine as letters.
pub fn swapped(bytes: &[u8]) -> String {
    bytes
        .iter()
        .flat_map(|b| [b & 0x0f, b >> 4])
        .filter_map(|half| char::from_digit(u32::from(half), 16))
        .map(|c| c.to_ascii_uppercase())
        .collect()
}

/// What the bytes of a file say; `None` for a file that is not decoded here, or bytes too few.
pub fn decode(file: u16, bytes: &[u8]) -> Option<Decoded> {
    match file {
        0x6F07 => imsi(bytes).map(Decoded::Imsi),
        0x2FE2 => {
            let digits = swapped(bytes);
            let digits = digits.trim_end_matches('F');
            (digits.len() >= 10 && digits.bytes().all(|b| b.is_ascii_digit()))
                .then(|| Decoded::Iccid(digits.into()))
        }
        0x6FAD => bytes.first().map(|&mode| Decoded::Administrative {
            mode,
            mnc_digits: bytes.get(3).map(|b| b & 0x0f).filter(|n| matches!(n, 2 | 3)),
        }),
        0x6F46 => Some(Decoded::ProviderName(name(bytes.get(1..)?))),
        0x6F3E | 0x6F3F => {
            let hex: String = bytes.iter().map(|b| format!("{b:02X}")).collect();
            Some(Decoded::Group(hex.trim_end_matches("FF").to_owned()))
        }
        0x6F7B => {
            Some(Decoded::Networks(bytes.chunks_exact(3).filter_map(Plmn::of_bytes).collect()))
        }
        0x6F60..=0x6F62 => Some(Decoded::NetworksWithTechnology(
            bytes
                .chunks_exact(5)
                .filter_map(|c| Some((Plmn::of_bytes(&c[..3])?, technologies(c[3], c[4]))))
                .collect(),
        )),
        0x6F7E => (bytes.len() >= 11).then(|| Decoded::Location {
            plmn: Plmn::of_bytes(&bytes[4..7]),
            area: hex(&bytes[7..9]),
            state: update_state(bytes[10]),
        }),
        0x6F73 => (bytes.len() >= 14).then(|| Decoded::Location {
            plmn: Plmn::of_bytes(&bytes[7..10]),
            area: hex(&bytes[10..13]),
            state: update_state(bytes[13]),
        }),
        0x6FE3 => (bytes.len() >= 18).then(|| Decoded::EpsLocation {
            plmn: Plmn::of_bytes(&bytes[12..15]),
            tac: hex(&bytes[15..17]),
            state: match bytes[17] & 0x07 {
                0 => "updated",
                1 => "not updated",
                2 => "roaming not allowed",
                _ => "reserved",
            },
        }),
        0x6F78 => {
            let [high, low] = *bytes.get(..2)? else { return None };
            let bits = u16::from_be_bytes([high, low]);
            Some(Decoded::AccessClasses((0..16).filter(|bit| bits >> bit & 1 == 1).collect()))
        }
        0x6F31 => bytes.first().map(|&n| Decoded::SearchPeriod(u16::from(n) * 6)),
        _ => None,
    }
}

/// The subscriber number of EF_IMSI: a length byte, then a half byte of kind and parity, then
/// digits with their halves swapped.
fn imsi(bytes: &[u8]) -> Option<String> {
    let length = usize::from(*bytes.first()?);
    let body = bytes.get(1..=length).filter(|b| !b.is_empty()).or_else(|| bytes.get(1..))?;
    let digits: String = swapped(body).chars().skip(1).collect();
    let digits = digits.trim_end_matches('F');
    (digits.len() >= 6 && digits.bytes().all(|b| b.is_ascii_digit())).then(|| digits.to_owned())
}

/// A name in the default alphabet, of which the plain letters are those of ASCII, or in 16-bit
/// letters where it begins with 80 (TS 102 221 annex A).
fn name(bytes: &[u8]) -> String {
    if bytes.first() == Some(&0x80) {
        let units: Vec<u16> = bytes[1..]
            .chunks_exact(2)
            .map(|c| u16::from_be_bytes([c[0], c[1]]))
            .take_while(|u| *u != 0xFFFF)
            .collect();
        return String::from_utf16_lossy(&units);
    }
    bytes
        .iter()
        .take_while(|b| **b != 0xFF)
        .map(|&b| if (0x20..0x7f).contains(&b) { char::from(b) } else { '\u{fffd}' })
        .collect()
}

fn technologies(first: u8, second: u8) -> Vec<&'static str> {
    let bits = [
        (first, 0x80, "UTRAN"),
        (first, 0x40, "E-UTRAN"),
        (first, 0x08, "NG-RAN"),
        (second, 0x80, "GSM"),
        (second, 0x40, "GSM compact"),
    ];
    bits.iter().filter(|(byte, bit, _)| byte & bit != 0).map(|(.., name)| *name).collect()
}

const fn update_state(byte: u8) -> &'static str {
    match byte & 0x07 {
        0 => "updated",
        1 => "not updated",
        2 => "network not allowed",
        3 => "area not allowed",
        _ => "reserved",
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02X}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_say_what_their_clauses_say() {
        let bytes = |text: &str| -> Vec<u8> {
            (0..text.len())
                .step_by(2)
                .map(|i| u8::from_str_radix(&text[i..i + 2], 16).unwrap())
                .collect()
        };
        assert_eq!(
            decode(0x6F07, &bytes("080910101032547698")),
            Some(Decoded::Imsi("001010123456789".into()))
        );
        assert_eq!(
            decode(0x2FE2, &bytes("98880000000000000061")),
            Some(Decoded::Iccid("89880000000000000016".into()))
        );
        assert_eq!(
            decode(0x6FAD, &bytes("00000002")),
            Some(Decoded::Administrative { mode: 0, mnc_digits: Some(2) })
        );
        assert_eq!(
            decode(0x6F46, &bytes("0148757473FFFF")),
            Some(Decoded::ProviderName("Huts".into()))
        );
        let Some(Decoded::Networks(list)) = decode(0x6F7B, &bytes("00F110FFFFFF99F910")) else {
            panic!()
        };
        assert_eq!(list.iter().map(Plmn::digits).collect::<Vec<_>>(), ["00101", "99901"]);
        let Some(Decoded::NetworksWithTechnology(list)) =
            decode(0x6F62, &bytes("00F1104000FFFFFF0000"))
        else {
            panic!()
        };
        assert_eq!(list[0].1, ["E-UTRAN"]);
        assert_eq!(decode(0x6F78, &bytes("0008")), Some(Decoded::AccessClasses(vec![3])));
        assert_eq!(decode(0x6F07, &[]), None);
    }
}
