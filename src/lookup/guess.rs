//! Plain words: every reading that fits.

use super::{
    Answer, Found, Problem, arfcn, band, cause, channel, command, country, error, file, frequency,
    iccid, imei, imsi, index, level, mask, plmn, plmn_bytes, status, timer, values::values,
};
use crate::reference::causes::CauseList;
use crate::reference::{commands, errors, index as maps, levels};

/// Every reading of some words, the likeliest first: `emm 15`, `+CME ERROR: 13`, `csq 17`,
/// `rsrp -98`, `B20`, `6300`, `PSM`.
///
/// # Errors
///
/// [`Problem`] where none fits.
pub fn guess(words: &str) -> Result<Vec<Answer>, Problem> {
    let plain = words.trim();
    let mut found = with_a_number(plain);
    if found.is_empty() {
        found = of_a_named_kind(plain);
    }
    if found.is_empty() {
        found = one_word(plain);
    }
    if found.is_empty() {
        found = by_name(plain);
    }
    if found.is_empty() {
        return Err(Problem::new(format!(
            "`{}` is nothing that the tables know; name the kind too, as in `band 20`, `earfcn 6300`, `cause emm 15`, `mask 0x80005`",
            crate::sanitize::plain(plain)
        )));
    }
    Ok(found)
}

fn add(found: &mut Vec<Answer>, answer: Found) {
    found.extend(answer);
}

fn add_all(found: &mut Vec<Answer>, answers: Result<Vec<Answer>, Problem>) {
    found.extend(answers.unwrap_or_default());
}

/// A list, a quantity or an error with its number: `emm cause 15`, `csq 17`, `+CSQ: 17,99`,
/// `rsrp -98 dBm`, `+CME ERROR: SIM failure`.
fn with_a_number(text: &str) -> Vec<Answer> {
    let mut found = Vec::new();
    let separated = |c: char| c.is_whitespace() || matches!(c, ':' | '=' | '#' | ',' | '"');
    let mut words: Vec<&str> = text.split(separated).filter(|word| !word.is_empty()).collect();
    words.retain(|word| {
        !["cause", "reject", "code", "number", "index", "at"]
            .iter()
            .any(|w| word.eq_ignore_ascii_case(w))
    });
    let [first, rest @ ..] = &words[..] else { return found };
    if words.len() == 1 && text.contains(['#', ' ']) {
        // `cause 33`, `reject cause #33`: the number alone is left.
        add_all(&mut found, cause(None, first));
        return found;
    }
    let name = first.trim_start_matches("AT").trim_start_matches('+').to_ascii_lowercase();
    if let Some(list @ ("cme" | "cms")) = Some(name.as_str()) {
        let rest: Vec<_> =
            rest.iter().filter(|w| !w.eq_ignore_ascii_case("error")).copied().collect();
        add_all(&mut found, error(Some(list), rest.first().unwrap_or(&"")));
        if let (true, Some(named)) = (found.is_empty(), errors::cme_in_words(&rest.join(" "))) {
            add_all(&mut found, error(Some("cme"), &named.number.to_string()));
        }
        return found;
    }
    let Some(number) = rest.first() else {
        // `emm15`: the list and its number in one word; `5gmm3` begins with a digit.
        let letters = name.trim_end_matches(|c: char| c.is_ascii_digit());
        if let Some(list) = CauseList::named(letters).filter(|_| letters.len() < name.len()) {
            add_all(&mut found, cause(Some(list), &name[letters.len()..]));
        }
        return found;
    };
    if let (Some(list), [_]) = (CauseList::named(&name), rest) {
        add_all(&mut found, cause(Some(list), number));
        return found;
    }
    if text.trim_start().starts_with("+CESQ:") {
        const FIELDS: [&str; 9] =
            ["rxlev", "", "rscp", "ecno", "rsrq", "rsrp", "ss-rsrq", "ss-rsrp", "ss-sinr"];
        for (field, value) in FIELDS.iter().zip(rest).filter(|(field, _)| !field.is_empty()) {
            add(&mut found, index(field, value));
        }
        return found;
    }
    if number.parse::<u16>().is_ok() && (maps::map(&name).is_some() || name == "cqi") {
        add(&mut found, index(&name, number));
    }
    let signed = number.starts_with(['-', '+']) || number.contains('.') || rest.len() > 1;
    let quantity = name.replace('_', "-");
    if levels::quantities().contains(&quantity.as_str())
        && (signed || found.is_empty())
        && !text.contains(',')
    {
        add(&mut found, level(&quantity, &rest.concat()));
    }
    found
}

/// The kind by its own name, then what is asked of it: `nr-arfcn 632628`, `mcc 001`, `4G band 28`, `+CEREG: 0,3`.
fn of_a_named_kind(plain: &str) -> Vec<Answer> {
    let mut found = Vec::new();
    let lower = plain.to_ascii_lowercase();
    if let Some((kind, number)) = lower.split_once(char::is_whitespace) {
        let number = number.trim();
        let technology = match kind.replace('-', "").as_str() {
            "earfcn" => "LTE channel",
            "nrarfcn" => "NR channel",
            "uarfcn" => "UMTS channel",
            "arfcn" => "GSM channel",
            "mcc" => "country",
            "plmn" => "network",
            "4g" | "5g" | "3g" | "2g" => "band",
            _ => "",
        };
        match technology {
            "" => {}
            "country" => add(&mut found, country(number)),
            "network" => add(&mut found, plmn(number)),
            "band" => {
                let system = match kind {
                    "2g" => "gsm",
                    "3g" => "umts",
                    "4g" => "lte",
                    _ => "n",
                };
                let name = number.trim_start_matches("band").trim();
                let name = name.trim_start_matches(['b', 'n']);
                add_all(&mut found, band(&format!("{system}{name}")));
            }
            _ => {
                add_all(&mut found, channel(number, None, None));
                found.retain(|a| a.kind.replace('-', "") == kind.replace('-', ""));
            }
        }
    }
    if found.is_empty() {
        found = values(plain);
    }
    found
}

fn one_word(plain: &str) -> Vec<Answer> {
    let mut found: Vec<Answer> = Vec::new();
    if !plain.is_empty() && plain.bytes().all(|b| b.is_ascii_digit()) {
        return digits(plain);
    }
    if plain.to_ascii_lowercase().starts_with("0x") {
        add_all(&mut found, mask(&[plain.to_owned()], false));
        add(&mut found, file(plain, None));
        return found;
    }
    add_all(&mut found, band(plain));
    found.extend(timer(plain));
    add(&mut found, file(plain, None));
    if plain.starts_with(['+', '^', '#', '%', '!', '$', '*', '&'])
        || plain.to_ascii_uppercase().starts_with("AT")
    {
        add_all(&mut found, command(plain));
    }
    if plain.contains(['.', ',']) || plain.to_ascii_lowercase().ends_with("hz") {
        add(&mut found, frequency(plain));
    }
    let letters = plain.trim_end_matches(['F', 'f']);
    if letters.len() >= 18 && letters.bytes().all(|b| b.is_ascii_digit()) {
        add(&mut found, iccid(plain));
    }
    if plain.contains('-') || plain.len() == 6 {
        found.extend(plmn(plain).ok().filter(|a| a.valid));
    }
    found
}

fn digits(plain: &str) -> Vec<Answer> {
    let mut found: Vec<Answer> = Vec::new();
    match plain.len() {
        18.. => add(&mut found, iccid(plain)),
        14..=16 => {
            if plain.len() == 15 {
                add(&mut found, imsi(plain, None));
                found.retain(|a| a.valid);
            }
            add(&mut found, imei(plain));
            // The reading whose check digit is right stands first.
            found.sort_by_key(|a| !(a.kind == "imei" && a.valid));
        }
        _ => {
            // A channel number is not written with a leading zero; a network code may be.
            if plain.len() >= 4 && !plain.starts_with('0') {
                add_all(&mut found, channel(plain, None, None));
            }
            if plain.len() <= 3 {
                add_all(&mut found, band(plain));
                add_all(&mut found, cause(None, plain));
                add_all(&mut found, error(None, plain));
                if plain.len() == 3 {
                    add(&mut found, country(plain));
                }
                add_all(&mut found, channel(plain, None, None));
            }
            if (3..=5).contains(&plain.len()) && !plain.starts_with('0') {
                add(&mut found, frequency(plain));
            }
            if matches!(plain.len(), 5 | 6) {
                found.extend(plmn(plain).ok().filter(|a| a.valid));
                found.extend(plmn_bytes(plain).ok().filter(|a| a.valid));
            }
        }
    }
    found
}

/// A name: of a country, a state, a command, a feature.
fn by_name(plain: &str) -> Vec<Answer> {
    let mut found = Vec::new();
    add(&mut found, country(plain));
    add_all(&mut found, status(plain));
    if found.is_empty() {
        add_all(&mut found, command(plain));
    }
    if found.is_empty() && plain.len() >= 3 && plain.bytes().all(|b| b.is_ascii_alphanumeric()) {
        // A feature is part of the names of its commands: PSM of +CPSMS, EDRX of +CEDRXS.
        let upper = plain.to_ascii_uppercase();
        for command_of in commands::commands().iter().filter(|c| c.name.contains(&upper)) {
            let first = command_of.name.split(" / ").next().unwrap_or(command_of.name);
            add_all(&mut found, command(first));
        }
        found.extend(super::command::timers_about(&upper));
    }
    if found.is_empty() {
        add_all(&mut found, arfcn(plain));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(word: &str) -> Vec<&'static str> {
        guess(word).map(|a| a.iter().map(|a| a.kind).collect()).unwrap_or_default()
    }

    fn title(words: &str) -> String {
        guess(words).unwrap()[0].title.clone()
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
        assert_eq!(kinds("00101")[0], "plmn");
        assert_eq!(kinds("nrarfcn 599999"), ["nr-arfcn"]);
        assert!(kinds("uarfcn 2937").iter().all(|k| *k == "uarfcn"));
        assert_eq!(kinds("mcc 001"), ["country"]);
        assert_eq!(title("4G band 28"), "LTE band 28 (FDD)");
        assert!(kinds("reject cause #33").iter().all(|k| *k == "cause"));
        assert_eq!(kinds("+CEREG: 0,3"), ["values"]);
        assert!(guess("no such thing").is_err());
    }

    #[test]
    fn a_list_or_quantity_with_its_number_needs_no_kind() {
        for text in ["emm 15", "EMM cause 15", "emm #15", "emm cause: 15", "emm15"] {
            assert!(title(text).starts_with("EMM cause 15"), "{text}");
        }
        for text in ["+CME ERROR: 13", "cme 13", "CME ERROR 13", "+CME ERROR: SIM failure"] {
            assert!(title(text).starts_with("+CME ERROR: 13"), "{text}");
        }
        assert_eq!(kinds("+CMS ERROR: 500"), ["error"]);
        for text in ["csq 17", "+CSQ: 17,99", "CSQ: 17"] {
            assert!(title(text).starts_with("csq 17: -79 dBm"), "{text}");
        }
        // TS 36.213 table 7.2.3-1.
        assert_eq!(
            title("cqi 7"),
            "cqi 7: 16QAM, code rate 378/1024, 1.4766 bits a resource element"
        );
        assert_eq!(kinds("rsrp 48"), ["index"]);
        for text in ["rsrp -98", "RSRP: -98 dBm", "rsrp=-98"] {
            assert!(title(text).starts_with("rsrp -98 dBm"), "{text}");
        }
        assert_eq!(kinds("+CESQ: 99,99,255,255,20,48").len(), 5);
    }

    #[test]
    fn names_of_states_and_features_are_found() {
        assert_eq!(kinds("PSM"), ["command", "timer"]);
        assert!(title("PSM").starts_with("+CPSMS"));
        assert!(kinds("EMM-DEREGISTERED.PLMN-SEARCH").contains(&"status"));
        assert!(kinds("limited service").contains(&"status"));
    }

    #[test]
    fn bytes_of_a_network_code_stand_beside_its_digits() {
        assert!(title("00F110").contains("001-01"));
        let found = guess("130014").unwrap();
        assert!(found.iter().any(|a| a.kind == "plmn" && a.title.contains("310-410")));
    }
}
