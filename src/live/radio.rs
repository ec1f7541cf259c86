//! Changes of the radio's settings, which each vendor's modem has under a command of its own: the
//! technologies freed, a band switched on.
//!
//! The settings are read first; the command that the modem answers is the one that is used. What
//! is written has the form that was read.

use super::amend::Amendment;
use super::refusal::Refusal;
use super::setting::Setting;
use crate::at::Client;
use crate::at::ResultCode;
use crate::reference::bands::mask::Mask;
use crate::response::fields;

/// A vendor's setting that this modem has: itself and its value; `None` where it refuses the command.
fn stored(
    client: &mut Client<'_>,
    read: &str,
    write: &str,
    behind: &str,
) -> Result<Option<(Setting, String)>, Refusal> {
    let response = client.ask(read)?;
    if let ResultCode::Error(_) = response.result {
        return Ok(None);
    }
    let setting = Setting::Vendor { read: read.into(), write: write.into(), behind: behind.into() };
    let value = setting.read(client)?;
    Ok(Some((setting, value)))
}

/// Frees the choice of radio technology.
pub(super) fn technology(client: &mut Client<'_>) -> Result<Amendment, Refusal> {
    let plan = |setting: Setting, now: String, after: &str, then: &str| {
        let told = format!("technologies: {now}");
        Amendment::one(setting, now, after, told)
            .becoming(&format!("technologies: {then}"))
            .because(
                "the modem may use only some radio technologies, and none of those is heard here",
            )
    };
    let already = || Refusal::Already("the choice of technology is free".into());
    if let Some((setting, now)) = stored(client, "AT+CNMP?", "AT+CNMP=", "")? {
        if now == "2" {
            return Err(already());
        }
        return plan(setting, now, "2", "automatic (2)");
    }
    for (name, key, free, behind) in
        [("+QNWPREFCFG", "mode_pref", "AUTO", ""), ("+QCFG", "nwscanmode", "0", ",1")]
    {
        let read = format!("AT{name}=\"{key}\"");
        let Some((setting, now)) = stored(client, &read, &format!("{read},"), behind)? else {
            continue;
        };
        if now.eq_ignore_ascii_case(free) {
            return Err(already());
        }
        return plan(setting, now, free, free);
    }
    let Some((setting, now)) = stored(client, "AT+WS46?", "AT+WS46=", "")? else {
        return Err(Refusal::Impossible(
            "this modem answers no command for its technologies that is known here".into(),
        ));
    };
    let response = client.ask("AT+WS46=?")?;
    let possible = response.value("+WS46").unwrap_or_default();
    let numbers: Vec<&str> =
        possible.split(|c: char| !c.is_ascii_digit()).filter(|n| !n.is_empty()).collect();
    // From the widest on (TS 27.007 §5.9): all of 2G, 3G and 4G, then fewer.
    let widest = ["25", "31", "30", "29"].into_iter().find(|n| numbers.contains(n));
    match widest {
        Some(widest) if widest != now => plan(setting, now, widest, widest),
        Some(_) => Err(already()),
        None => Err(Refusal::Unreadable("which technologies the modem has".into())),
    }
}

/// Switches an E-UTRA band on beside those that are on.
pub(super) fn band(client: &mut Client<'_>, number: u16) -> Result<Amendment, Refusal> {
    if crate::reference::bands::lte_band(number).is_none() {
        return Err(Refusal::Impossible(format!("there is no E-UTRA band {number}")));
    }
    let plan = |setting: Setting, now: String, after: &str, told: String| {
        Amendment::one(setting, now, after, format!("bands {told}"))
            .becoming(&format!("band {number} beside them"))
            .because("the network may use a band here that is switched off in the modem")
    };
    let already = || Refusal::Already(format!("band {number} is on"));
    let listed =
        |list: &str, separator: char| list.split(separator).any(|b| b.trim().parse() == Ok(number));
    let key = "AT+QNWPREFCFG=\"lte_band\"";
    if let Some((setting, list)) = stored(client, key, &format!("{key},"), "")? {
        if listed(&list, ':') {
            return Err(already());
        }
        let after = format!("{list}:{number}");
        return plan(setting, list.clone(), &after, list);
    }
    let key = "AT+QCFG=\"band\"";
    if let Some((setting, value)) = stored(client, key, &format!("{key},"), "")? {
        let parts = fields(&value, 0);
        let texts: Vec<&str> = parts.iter().map(|f| f.text).collect();
        let [first, lte, rest @ ..] = texts.as_slice() else {
            return Err(Refusal::Unreadable("the masks of the bands".into()));
        };
        let mask =
            Mask::read(lte).map_err(|_| Refusal::Unreadable("the mask of the LTE bands".into()))?;
        if mask.bands.contains(&number) {
            return Err(already());
        }
        let rest: String = rest.iter().map(|r| format!(",{r}")).collect();
        let after = format!("{first},{}{rest}", with_bit(lte, number));
        let on: Vec<String> = mask.bands.iter().map(u16::to_string).collect();
        return plan(setting, value.clone(), &after, on.join(", "));
    }
    if let Some((setting, value)) = stored(client, "AT+CBANDCFG?", "AT+CBANDCFG=", "")? {
        let Some((_, list)) = value.split_once(',') else {
            return Err(Refusal::Unreadable("the list of the bands".into()));
        };
        if listed(list, ',') {
            return Err(already());
        }
        let after = format!("{value},{number}");
        return plan(setting, value.clone(), &after, list.to_owned());
    }
    Err(Refusal::Impossible(
        "this modem answers no command for its bands that is known here".into(),
    ))
}

/// The mask with the bit of a band set, in the form in which it was printed.
fn with_bit(mask: &str, band: u16) -> String {
    let (prefix, digits) = match mask.get(..2) {
        Some(start) if start.eq_ignore_ascii_case("0x") => mask.split_at(2),
        _ => ("", mask),
    };
    let (nibble, bit) = (usize::from(band - 1) / 4, (band - 1) % 4);
    let mut digits: Vec<u8> = digits.bytes().rev().collect();
    while digits.len() <= nibble {
        digits.push(b'0');
    }
    let value = char::from(digits[nibble]).to_digit(16).unwrap_or(0) | 1 << bit;
    digits[nibble] = char::from_digit(value, 16).map_or(b'0', |c| u8::try_from(c).unwrap_or(b'0'));
    digits.reverse();
    format!("{prefix}{}", String::from_utf8_lossy(&digits))
}

#[cfg(test)]
mod tests {
    use super::with_bit;
    use proptest::prelude::*;

    #[test]
    fn a_bit_is_set_in_the_form_that_was_printed() {
        assert_eq!(with_bit("0x5", 20), "0x80005");
        assert_eq!(with_bit("80005", 1), "80005");
        assert_eq!(with_bit("0x0", 66), "0x20000000000000000");
    }

    proptest! {
        #[test]
        fn every_other_band_stays(mask in 0u64.., band in 1u16..=85) {
            use crate::reference::bands::mask::Mask;
            let before = Mask::read(&format!("0x{mask:x}")).unwrap().bands;
            let mut wanted = before.clone();
            wanted.push(band);
            wanted.sort_unstable();
            wanted.dedup();
            prop_assert_eq!(Mask::read(&with_bit(&format!("0x{mask:x}"), band)).unwrap().bands, wanted);
        }
    }
}
