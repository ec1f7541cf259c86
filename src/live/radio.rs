//! Changes of the radio's settings, which each maker's modem has under a command of its own: the
//! technologies freed, a band switched on.
//!
//! The settings are read first; the command that the modem answers is the one that is used. What
//! is written has the form that was read.

use super::amend::{Amendment, Refusal, plain};
use crate::at::Client;
use crate::at::ResultCode;
use crate::reference::bands::mask::Mask;
use crate::response::fields;

/// A setting that was read: the command, and what stands behind its header.
fn stored(client: &mut Client<'_>, read: &str, head: &str) -> Result<Option<String>, Refusal> {
    let answer = client.ask(read)?;
    Ok(match answer.result {
        ResultCode::Ok => answer.value(head).map(str::to_owned),
        ResultCode::Error(_) => None,
        ResultCode::Silent | ResultCode::Interrupted => {
            return Err(Refusal::Unreadable(read.into()));
        }
    })
}

/// Frees the choice of radio technology.
pub(super) fn technology(client: &mut Client<'_>) -> Result<Amendment, Refusal> {
    let plan = |now: String, then: &str, write: String, back: String| {
        plain(
            format!("technologies: {now}"),
            format!("technologies: {then}"),
            "the modem may use only some radio technologies, and none of those is heard here",
            vec![write],
            vec![back],
        )
    };
    let already = || Refusal::Already("the choice of technology is free".into());
    if let Some(now) = stored(client, "AT+CNMP?", "+CNMP")? {
        if now == "2" {
            return Err(already());
        }
        let back = format!("AT+CNMP={now}");
        return Ok(plan(format!("choice {now}"), "automatic (2)", "AT+CNMP=2".into(), back));
    }
    for (key, free, later) in [("mode_pref", "AUTO", ""), ("nwscanmode", "0", ",1")] {
        let name = if key == "mode_pref" { "+QNWPREFCFG" } else { "+QCFG" };
        let Some(value) = stored(client, &format!("AT{name}=\"{key}\""), name)? else { continue };
        let Some((_, now)) = value.split_once(',') else { continue };
        if now.eq_ignore_ascii_case(free) {
            return Err(already());
        }
        let set = |v: &str| format!("AT{name}=\"{key}\",{v}{later}");
        return Ok(plan(now.into(), free, set(free), set(now)));
    }
    let Some(now) = stored(client, "AT+WS46?", "+WS46")? else {
        return Err(Refusal::Impossible(
            "this modem answers no command for its technologies that is known here".into(),
        ));
    };
    let possible = stored(client, "AT+WS46=?", "+WS46")?.unwrap_or_default();
    let numbers: Vec<&str> =
        possible.split(|c: char| !c.is_ascii_digit()).filter(|n| !n.is_empty()).collect();
    // From the widest on (TS 27.007 §5.9): all of 2G, 3G and 4G, then fewer.
    let widest = ["25", "31", "30", "29"].into_iter().find(|n| numbers.contains(n));
    match widest {
        Some(widest) if widest != now => {
            let back = format!("AT+WS46={now}");
            Ok(plan(now, widest, format!("AT+WS46={widest}"), back))
        }
        Some(_) => Err(already()),
        None => Err(Refusal::Unreadable("which technologies the modem has".into())),
    }
}

/// Switches an E-UTRA band on beside those that are on.
pub(super) fn band(client: &mut Client<'_>, number: u16) -> Result<Amendment, Refusal> {
    if crate::reference::bands::lte_band(number).is_none() {
        return Err(Refusal::Impossible(format!("there is no E-UTRA band {number}")));
    }
    let plan = |now: String, write: String, back: String| {
        plain(
            format!("bands {now}"),
            format!("band {number} beside them"),
            "the network may use a band here that is switched off in the modem",
            vec![write],
            vec![back],
        )
    };
    let already = || Refusal::Already(format!("band {number} is on"));
    let listed =
        |list: &str, separator: char| list.split(separator).any(|b| b.trim().parse() == Ok(number));
    let key = "AT+QNWPREFCFG=\"lte_band\"";
    if let Some(value) = stored(client, key, "+QNWPREFCFG")?
        && let Some((_, list)) = value.split_once(',')
    {
        if listed(list, ':') {
            return Err(already());
        }
        return Ok(plan(list.into(), format!("{key},{list}:{number}"), format!("{key},{list}")));
    }
    if let Some(value) = stored(client, "AT+QCFG=\"band\"", "+QCFG")? {
        let parts = fields(&value, 0);
        let texts: Vec<&str> = parts.iter().map(|f| f.text).collect();
        let [_, first, lte, rest @ ..] = texts.as_slice() else {
            return Err(Refusal::Unreadable("the masks of the bands".into()));
        };
        let mask =
            Mask::read(lte).map_err(|_| Refusal::Unreadable("the mask of the LTE bands".into()))?;
        if mask.bands.contains(&number) {
            return Err(already());
        }
        let with = with_bit(lte, number);
        let set = |lte: &str| {
            let rest: String = rest.iter().map(|r| format!(",{r}")).collect();
            format!("AT+QCFG=\"band\",{first},{lte}{rest}")
        };
        let now: Vec<String> = mask.bands.iter().map(u16::to_string).collect();
        return Ok(plan(now.join(", "), set(&with), set(lte)));
    }
    if let Some(value) = stored(client, "AT+CBANDCFG?", "+CBANDCFG")?
        && let Some((technology, list)) = value.split_once(',')
    {
        if listed(list, ',') {
            return Err(already());
        }
        let set = |list: &str| format!("AT+CBANDCFG={technology},{list}");
        return Ok(plan(list.into(), set(&format!("{list},{number}")), set(list)));
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
