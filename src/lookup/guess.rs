//! A plain word: every reading that fits.

use super::{
    Answer, Problem, band, cause, channel, command, country, error, file, frequency, iccid, imei,
    imsi, mask, plmn, timer,
};

/// Every reading of a word, the likeliest first.
///
/// # Errors
///
/// [`Problem`] where none fits.
pub fn guess(word: &str) -> Result<Vec<Answer>, Problem> {
    let plain = word.trim();
    let digits = !plain.is_empty() && plain.bytes().all(|b| b.is_ascii_digit());
    let mut found: Vec<Answer> = Vec::new();
    let one = |f: super::Found, found: &mut Vec<Answer>| found.extend(f);
    let many = |f: Result<Vec<Answer>, Problem>, found: &mut Vec<Answer>| {
        found.extend(f.unwrap_or_default());
    };
    if digits {
        match plain.len() {
            18.. => one(iccid(plain), &mut found),
            14..=16 => {
                if plain.len() == 15 {
                    one(imsi(plain, None), &mut found);
                    found.retain(|a| a.valid);
                }
                one(imei(plain), &mut found);
                // The reading whose check digit is right stands first.
                found.sort_by_key(|a| !(a.kind == "imei" && a.valid));
            }
            _ => {
                if plain.len() >= 4 {
                    many(channel(plain, None, None), &mut found);
                }
                if plain.len() <= 3 {
                    many(band(plain), &mut found);
                    many(cause(None, plain), &mut found);
                    many(error(None, plain), &mut found);
                    if plain.len() == 3 {
                        one(country(plain), &mut found);
                    }
                    many(channel(plain, None, None), &mut found);
                }
                if (3..=5).contains(&plain.len()) {
                    one(frequency(plain), &mut found);
                }
                if matches!(plain.len(), 5 | 6) {
                    found.extend(plmn(plain).ok().filter(|a| a.valid));
                }
            }
        }
    } else if plain.to_ascii_lowercase().starts_with("0x") {
        one(mask(&[plain.to_owned()], false), &mut found);
        one(file(plain, None), &mut found);
    } else {
        many(band(plain), &mut found);
        found.extend(timer(plain));
        one(file(plain, None), &mut found);
        if plain.starts_with(['+', '^', '#', '%', '!', '$', '*'])
            || plain.to_ascii_uppercase().starts_with("AT")
        {
            many(command(plain), &mut found);
        }
        if plain.contains(['.', ',']) || plain.to_ascii_lowercase().ends_with("hz") {
            one(frequency(plain), &mut found);
        }
        let letters = plain.trim_end_matches(['F', 'f']);
        if letters.len() >= 18 && letters.bytes().all(|b| b.is_ascii_digit()) {
            one(iccid(plain), &mut found);
        }
        if plain.contains('-') || plain.len() == 6 {
            found.extend(plmn(plain).ok().filter(|a| a.valid));
        }
        if found.is_empty() {
            one(country(plain), &mut found);
        }
        if found.is_empty() {
            many(command(plain), &mut found);
        }
    }
    if found.is_empty() {
        return Err(Problem::new(format!(
            "`{}` is nothing that the tables know; name the kind too, as in `band 20`, `earfcn 6300`, `cause emm 15`, `mask 0x80005`",
            crate::sanitize::plain(plain)
        )));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(word: &str) -> Vec<&'static str> {
        guess(word).map(|a| a.iter().map(|a| a.kind).collect()).unwrap_or_default()
    }

    #[test]
    fn words_are_taken_for_what_they_may_be() {
        assert_eq!(kinds("n78"), ["band"]);
        assert_eq!(kinds("6300")[0], "earfcn");
        assert_eq!(kinds("0x80005"), ["mask"]);
        assert_eq!(kinds("+CEREG"), ["command"]);
        assert_eq!(kinds("T3402"), ["timer"]);
        assert_eq!(kinds("6F07"), ["file"]);
        assert_eq!(kinds("8988000000000000016"), ["iccid"]);
        assert!(kinds("15").contains(&"cause"));
        assert!(guess("no such thing").is_err());
    }
}
