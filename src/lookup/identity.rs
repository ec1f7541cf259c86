//! `imsi`, `iccid`, `imei`, `plmn`, `country`, `file`: identities and the card's files.

use super::{Answer, Found, Problem};
use crate::identity::{self, Decoded, Iccid, Imei, Imsi, MncKnown, Plmn};
use crate::reference::Source;
use crate::reference::countries::{
    MncLength, countries, country as by_code, mnc_length, mnc_length_source,
};
use crate::reference::files;
use serde_json::{Value, json};

fn country_name(mcc: &str) -> Value {
    by_code(mcc).map_or(Value::Null, |c| c.name.into())
}

fn country_words(mcc: &str) -> String {
    by_code(mcc).map_or_else(|| "not assigned in the table".into(), |c| c.name.to_owned())
}

/// The parts of a subscriber number.
///
/// # Errors
///
/// [`Problem`] where the text is none.
pub fn imsi(text: &str, mnc_digits: Option<u8>) -> Found {
    let imsi = Imsi::read(text, mnc_digits).map_err(|e| Problem::new(e.to_string()))?;
    let (mcc, mnc) = (&imsi.plmn.mcc, &imsi.plmn.mnc);
    let known = match imsi.known {
        MncKnown::Card => "as the card's AD file says",
        MncKnown::Table => "as usual in this country",
        MncKnown::Guess => {
            "a guess: both lengths are in use there; the card's file EF_AD says which"
        }
    };
    let total = mcc.len() + mnc.len() + imsi.msin.len();
    let sound = by_code(mcc).is_some();
    let answer =
        Answer::new("imsi", text, format!("IMSI of network {}, {}", imsi.plmn, country_words(mcc)))
            .field("mcc", mcc.as_str())
            .field("mnc", mnc.as_str())
            .field("msin", imsi.msin.as_str())
            .field("plmn", imsi.plmn.digits())
            .field("digits", total)
            .field("country", country_name(mcc))
            .field("mnc_digits", mnc.len())
            .field(
                "mnc_length_known_by",
                match imsi.known {
                    MncKnown::Card => "card",
                    MncKnown::Table => "table",
                    MncKnown::Guess => "guess",
                },
            )
            .field("clause", "TS 23.003 2.2")
            .line("country", format!("{mcc}, {}", country_words(mcc)))
            .line("network", format!("{mnc} ({} digits, {known})", mnc.len()))
            .line("subscriber", imsi.msin.as_str())
            .line(
                "digits",
                if total == 15 {
                    "15, as nearly all have".into()
                } else {
                    format!("{total}; nearly all have 15, so some may be missing")
                },
            )
            .line("source", "TS 23.003 2.2");
    Ok(if sound { answer } else { answer.invalid() })
}

/// A card number and its check digit.
///
/// # Errors
///
/// [`Problem`] where the text is none.
pub fn iccid(text: &str) -> Found {
    let iccid = Iccid::read(text).map_err(|e| Problem::new(e.to_string()))?;
    let short = iccid.digits.len() == 18;
    let right = iccid.is_checked();
    let valid = iccid.is_for_telecommunication() && (right || short);
    let wanted = iccid.wanted_check_digit();
    let title = match (valid, short, iccid.is_for_telecommunication()) {
        (_, _, false) => "not a card number: it does not begin with 89".to_owned(),
        (true, true, _) => {
            format!("card number without its check digit, which is {}", wanted.unwrap_or('?'))
        }
        (true, false, _) => "well-formed card number, check digit right".to_owned(),
        (false, ..) => format!(
            "check digit wrong: the other digits want {} at the end, so one digit was probably copied wrongly",
            wanted.unwrap_or('?')
        ),
    };
    let answer = Answer::new("iccid", text, title)
        .field("digits", iccid.digits.as_str())
        .field("length", iccid.digits.len())
        .field("check_digit_ok", if short { Value::Null } else { right.into() })
        .field("check_digit", wanted.map_or(Value::Null, |c| c.to_digit(10).into()))
        .field("industry", &iccid.digits[..2])
        .field("clause", "ITU-T E.118; ISO/IEC 7812-1 annex B")
        .line("digits", iccid.digits.len().to_string())
        .line("source", "ITU-T E.118; ISO/IEC 7812-1 annex B");
    Ok(if valid { answer } else { answer.invalid() })
}

/// An equipment number and its check digit.
///
/// # Errors
///
/// [`Problem`] where the text is none.
pub fn imei(text: &str) -> Found {
    let imei = Imei::read(text).map_err(|e| Problem::new(e.to_string()))?;
    let wanted = imei.wanted_check_digit();
    let title = match (&imei.software, imei.check, imei.is_right()) {
        (Some(version), ..) => format!("IMEISV: software version {version}, no check digit"),
        (None, None, _) => {
            format!("IMEI without its check digit, which is {}", wanted.unwrap_or('?'))
        }
        (None, Some(_), true) => "well-formed IMEI, check digit right".to_owned(),
        (None, Some(_), false) => format!(
            "check digit wrong: the other digits want {} at the end, so one digit was probably copied wrongly",
            wanted.unwrap_or('?')
        ),
    };
    let answer = Answer::new("imei", text, title)
        .field("tac", imei.tac.as_str())
        .field("serial", imei.serial.as_str())
        .field("check_digit", wanted.map_or(Value::Null, |c| c.to_digit(10).into()))
        .field("check_digit_ok", imei.check.map_or(Value::Null, |_| imei.is_right().into()))
        .field("software_version", imei.software.as_deref().map_or(Value::Null, Into::into))
        .field("clause", "TS 23.003 6.2, annex B")
        .line("type (TAC)", imei.tac.as_str())
        .line("serial", imei.serial.as_str())
        .line("source", "TS 23.003 6.2, annex B");
    Ok(if imei.is_right() { answer } else { answer.invalid() })
}

/// A network code, as digits or as the three bytes of a file where they have an `F`.
///
/// # Errors
///
/// [`Problem`] where the text is none.
pub fn plmn(text: &str) -> Found {
    let plmn = Plmn::read(text).map_err(|e| Problem::new(e.to_string()))?;
    Ok(network(text, &plmn))
}

/// A network code as the three bytes of a file, which are all digits where the code has six.
///
/// # Errors
///
/// [`Problem`] where the text is none.
pub fn plmn_bytes(text: &str) -> Found {
    let plain = text.trim();
    let bytes: Option<Vec<u8>> = (plain.len() == 6 && plain.is_ascii())
        .then(|| (0..6).step_by(2).map(|i| u8::from_str_radix(&plain[i..i + 2], 16).ok()).collect())
        .flatten();
    let plmn = bytes.and_then(|bytes| Plmn::of_bytes(&bytes)).ok_or_else(|| {
        Problem::new(format!("`{text}` is no network code in three bytes, as 00F110 is"))
    })?;
    Ok(network(text, &plmn).line("read as", "three bytes of a card file"))
}

fn network(text: &str, plmn: &Plmn) -> Answer {
    let usual = plmn.has_usual_length();
    let answer = Answer::new("plmn", text, format!("network {plmn}, {}", country_words(&plmn.mcc)))
        .field("mcc", plmn.mcc.as_str())
        .field("mnc", plmn.mnc.as_str())
        .field("plmn", plmn.digits())
        .field("hex", plmn.hex())
        .field("country", country_name(&plmn.mcc))
        .field("usual_length", usual)
        .field("clause", "TS 24.008 10.5.1.3; ITU-T E.212")
        .line("on the card", format!("{} (three bytes)", plmn.hex()))
        .line("length", if usual { "" } else { "unusual for this country" })
        .line("source", "TS 24.008 10.5.1.3; ITU-T E.212");
    if by_code(&plmn.mcc).is_some() { answer } else { answer.invalid() }
}

/// A mobile country code, or the codes of a country by its name or ISO code.
///
/// # Errors
///
/// [`Problem`] where no country has it.
pub fn country(text: &str) -> Found {
    let plain = text.trim();
    if plain.bytes().all(|b| b.is_ascii_digit()) && !plain.is_empty() {
        let Some(found) = by_code(plain) else {
            let wanted = plain.parse::<u32>().unwrap_or(0);
            let near = countries()
                .iter()
                .filter(|c| c.mcc != "001")
                .min_by_key(|c| c.mcc.parse::<u32>().unwrap_or(0).abs_diff(wanted));
            let problem = Problem::new(format!(
                "no country has the mobile country code {plain}; codes have three digits"
            ));
            return Err(near.map_or(problem.clone(), |c| problem.near(c.mcc)));
        };
        let length = match mnc_length(plain) {
            MncLength::Two => "two digits",
            MncLength::Three => "three digits",
            MncLength::Mixed => "two or three digits",
        };
        return Ok(Answer::new("country", text, format!("{plain}: {}", found.name))
            .field("mcc", found.mcc)
            .field("country", found.name)
            .field("name", found.name)
            .field("iso", if found.alpha2.is_empty() { Value::Null } else { found.alpha2.into() })
            .field(
                "mnc_digits",
                match mnc_length(plain) {
                    MncLength::Two => json!(2),
                    MncLength::Three => json!(3),
                    MncLength::Mixed => Value::Null,
                },
            )
            .line("network codes", length_words(length, mnc_length_source(plain)))
            .source(found.source));
    }
    let lower = plain.to_lowercase();
    let found: Vec<_> = countries()
        .iter()
        .filter(|c| {
            c.alpha2.split(' ').any(|a| a.eq_ignore_ascii_case(plain))
                || lower.len() > 3 && c.name.to_lowercase().contains(&lower)
        })
        .collect();
    let Some(first) = found.first() else {
        return Err(Problem::new(format!(
            "`{text}` is no country of the table; write a code of three digits, an ISO code or an English name"
        )));
    };
    let codes: Vec<_> = found.iter().map(|c| c.mcc).collect();
    let mut answer = Answer::new("country", text, format!("{}: {}", first.name, codes.join(", ")))
        .field("name", first.name)
        .field("country", first.name)
        .field("mcc", first.mcc)
        .field("mccs", json!(codes));
    for c in &found {
        answer = answer.line(c.mcc, c.name);
    }
    Ok(answer.source(first.source))
}

/// A file of the card, and what its bytes say.
///
/// # Errors
///
/// [`Problem`] where there is no such file or the bytes are none.
pub fn file(name: &str, bytes: Option<&str>) -> Found {
    let plain = name.trim().trim_start_matches("0x").trim_start_matches("0X");
    let by_number = u16::from_str_radix(plain, 16).ok().and_then(files::file);
    let by_decimal = || plain.parse::<u16>().ok().and_then(files::file);
    let Some(found) = by_number.or_else(by_decimal).or_else(|| files::named(plain)) else {
        return Err(Problem::new(format!(
            "the table has no card file `{name}`; write four hexadecimal digits as 6F07, the decimal number of +CRSM, or a name as FPLMN"
        )));
    };
    let mut answer =
        Answer::new("file", name, format!("{} ({:04X}): {}", found.name, found.id, found.meaning))
            .field("id", format!("{:04X}", found.id))
            .field("decimal", found.id)
            .field("name", found.name)
            .field("path", found.path)
            .field("structure", found.structure)
            .field("size", found.size)
            .field("meaning", found.meaning)
            .line("lies in", found.path)
            .line("structure", found.structure)
            .line("size", found.size)
            .line("in +CRSM", format!("file number {}", found.id));
    if let Some(text) = bytes {
        let plain: String = text.chars().filter(|c| !matches!(c, ' ' | ':' | '"' | '-')).collect();
        if !plain.is_ascii()
            || plain.is_empty()
            || !plain.len().is_multiple_of(2)
            || !plain.bytes().all(|b| b.is_ascii_hexdigit())
        {
            return Err(Problem::new(format!(
                "`{text}` are no bytes: an even number of hexadecimal digits is wanted"
            )));
        }
        let bytes: Vec<u8> = (0..plain.len())
            .step_by(2)
            .filter_map(|i| u8::from_str_radix(&plain[i..i + 2], 16).ok())
            .collect();
        answer = if let Some(decoded) = identity::decode(found.id, &bytes) {
            says(answer, &decoded)
        } else {
            let answer = answer.field("decoded", Value::Null);
            answer.invalid().line(
                "its bytes",
                "are not decoded: too few, out of form, or a file that is only named here",
            )
        };
    }
    Ok(answer.source(found.source))
}

fn says(answer: Answer, decoded: &Decoded) -> Answer {
    match decoded {
        Decoded::Imsi(digits) => {
            answer.field("decoded", digits.as_str()).both("imsi", "IMSI", digits)
        }
        Decoded::Iccid(digits) => {
            answer.field("decoded", digits.as_str()).both("iccid", "ICCID", digits)
        }
        Decoded::Administrative { mode, mnc_digits } => {
            let mode_words = match mode {
                0x00 => "normal operation",
                0x80 => "type approval",
                0x01 => "normal operation with specific facilities",
                0x81 => "type approval with specific facilities",
                0x02 => "maintenance",
                0x04 => "cell test",
                _ => "a mode that the clause reserves",
            };
            answer
                .field("decoded", json!({"mode": mode_words, "mnc_digits": mnc_digits}))
                .field("mnc_digits", mnc_digits.map_or(Value::Null, Into::into))
                .both("mode", "mode", mode_words)
                .line(
                    "network code",
                    mnc_digits.map_or_else(|| "length not given".into(), |n| format!("{n} digits")),
                )
        }
        Decoded::ProviderName(name) => answer.field("decoded", name.as_str()).both(
            "provider_name",
            "provider",
            &crate::sanitize::plain(name),
        ),
        Decoded::Group(hex) => answer.field("decoded", hex.as_str()).both("group", "group", hex),
        Decoded::Networks(list) => {
            let codes: Vec<_> = list.iter().map(Plmn::digits).collect();
            let words = if codes.is_empty() {
                "none: the list is empty".to_owned()
            } else {
                list.iter().map(Plmn::to_string).collect::<Vec<_>>().join(", ")
            };
            answer
                .field("decoded", json!(codes))
                .field("plmns", json!(codes))
                .line("networks", words)
        }
        Decoded::NetworksWithTechnology(list) => {
            let rows: Vec<_> =
                list.iter().map(|(p, t)| json!({"plmn": p.digits(), "technologies": t})).collect();
            let codes: Vec<_> = list.iter().map(|(p, _)| p.digits()).collect();
            let words: Vec<_> =
                list.iter().map(|(p, t)| format!("{p} ({})", t.join(", "))).collect();
            answer
                .field("decoded", rows)
                .field("plmns", json!(codes))
                .line("networks", words.join("; "))
        }
        Decoded::Location { plmn, area, state } => {
            location(answer, plmn.as_ref(), area, state, "lac")
        }
        Decoded::EpsLocation { plmn, tac, state } => {
            location(answer, plmn.as_ref(), tac, state, "tac")
        }
        Decoded::AccessClasses(classes) => {
            let words: Vec<_> = classes.iter().map(u8::to_string).collect();
            answer.field("decoded", json!(classes)).line("access classes", words.join(", "))
        }
        Decoded::SearchPeriod(minutes) => {
            let words = if *minutes == 0 {
                "no search for the home network".to_owned()
            } else {
                format!("every {minutes} minutes")
            };
            answer.field("decoded", *minutes).field("minutes", *minutes).line("home search", words)
        }
    }
}

fn location(answer: Answer, plmn: Option<&Plmn>, area: &str, state: &str, key: &str) -> Answer {
    let code = plmn.map(Plmn::digits);
    answer
        .field("decoded", json!({"plmn": code, (key): area, "state": state}))
        .field("plmn", code.clone().map_or(Value::Null, Into::into))
        .field("area_hex", area)
        .both("state", "update state", state)
        .line("network", plmn.map_or_else(|| "none".into(), Plmn::to_string))
        .line("area", area)
}

/// How long network codes are, with what the table has that from.
fn length_words(length: &str, source: Option<Source>) -> String {
    match source {
        None => format!("{length}, as in every country that the table of lengths does not name"),
        Some(source) if source.note.is_empty() => format!("{length} ({})", source.clause),
        Some(source) => format!("{length} ({}; {})", source.clause, source.note),
    }
}
