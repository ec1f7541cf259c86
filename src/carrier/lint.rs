//! What is wrong with profiles that read: names, bands, networks, two that claim the same cards.

use super::access_point_name;
use super::load_error::{LoadError, at_place};
use super::store::{ProfileStore, StoredProfile};
use crate::reference::bands::{gsm::gsm_bands_named, lte_band, nr_band, utra::utra_band};
use std::collections::HashMap;

/// Everything that is wrong, errors of reading included.
pub fn check(profiles: &ProfileStore) -> Vec<LoadError> {
    let (found, mut errors) = profiles.all();
    let mut claims: HashMap<String, &StoredProfile> = HashMap::new();
    for read in &found {
        one(profiles, read, &mut errors);
        let carrier = &read.carrier;
        for prefix in &carrier.cards.imsi {
            let claim = format!(
                "{prefix} {:?} {:?} {:?}",
                carrier.cards.gid1, carrier.cards.provider_name, carrier.cards.iccid
            );
            match claims.get(&claim) {
                Some(other) if other.carrier.name != carrier.name => errors.push(point(
                    profiles,
                    read,
                    prefix,
                    format!("the cards {prefix} are claimed by `{}` too, and nothing separates the two; add gid1, provider_name or iccid", other.carrier.name),
                )),
                _ => {
                    claims.insert(claim, read);
                }
            }
        }
    }
    errors.sort_by(|a, b| (&a.file, a.at).cmp(&(&b.file, b.at)));
    errors
}

fn one(profiles: &ProfileStore, read: &StoredProfile, errors: &mut Vec<LoadError>) {
    let carrier = &read.carrier;
    let mut say = |word: &str, problem: String| errors.push(point(profiles, read, word, problem));
    if carrier.name.trim().is_empty() || carrier.name.chars().any(char::is_control) {
        say("name", "the name is empty or has control characters".into());
    }
    for code in carrier.networks.iter().chain(&carrier.equivalent).chain(&carrier.roaming.partners)
    {
        if !matches!(code.len(), 5 | 6) || !code.bytes().all(|b| b.is_ascii_digit()) {
            say(
                code,
                format!("`{code}` is no network code: five or six digits are wanted, as in 00101"),
            );
        } else if crate::reference::countries::country(&code[..3]).is_none() {
            say(code, format!("no country has the mobile country code {}", &code[..3]));
        }
    }
    for digits in carrier.cards.imsi.iter().chain(&carrier.cards.iccid) {
        if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            say(digits, format!("`{digits}` must be the first digits of a number"));
        }
    }
    for hex in &carrier.cards.gid1 {
        if hex.is_empty() || !hex.bytes().all(|b| b.is_ascii_hexdigit()) {
            say(hex, format!("`{hex}` is no group: hexadecimal digits are wanted"));
        }
    }
    if carrier.networks.is_empty()
        && carrier.cards.imsi.is_empty()
        && carrier.cards.iccid.is_empty()
        && carrier.cards.provider_name.is_empty()
    {
        say("name", "nothing can match this profile: it names no network and no card".into());
    }
    for point in &carrier.access_points {
        if let Err(error) = access_point_name::check(&point.name) {
            say(
                &point.name,
                format!("`{}` is no access point name (TS 23.003 9.1): {error}", point.name),
            );
        }
    }
    for band in
        [&carrier.bands.lte, &carrier.bands.lte_m, &carrier.bands.nb_iot].into_iter().flatten()
    {
        if lte_band(*band).is_none() {
            say(
                &band.to_string(),
                format!("there is no E-UTRA band {band} (TS 36.101 table 5.5-1)"),
            );
        }
    }
    for band in &carrier.bands.nr {
        if nr_band(*band).is_none() {
            say(
                &band.to_string(),
                format!("there is no NR band n{band} (TS 38.101-1 table 5.2-1)"),
            );
        }
    }
    for band in &carrier.bands.umts {
        if utra_band(*band).is_none() {
            say(&band.to_string(), format!("there is no UTRA band {band} (TS 25.101 table 5.0)"));
        }
    }
    for band in &carrier.bands.gsm {
        if gsm_bands_named(band).is_empty() {
            say(band, format!("there is no GSM band `{band}` (TS 45.005 clause 2)"));
        }
    }
    if let Some(usage) =
        carrier.usage.as_deref().filter(|u| !matches!(*u, "data-centric" | "voice-centric"))
    {
        say(
            usage,
            format!("`{usage}` is no usage setting; there are data-centric and voice-centric"),
        );
    }
}

/// An error at the first place of a word within a profile.
fn point(profiles: &ProfileStore, read: &StoredProfile, word: &str, problem: String) -> LoadError {
    let Some(text) = profiles.text_at(&read.place) else {
        return LoadError { file: read.place.file.clone(), at: None, problem, extract: None };
    };
    let quoted = format!("\"{word}\"");
    let at = text.find(&quoted).map(|i| i + 1).or_else(|| text.find(word)).unwrap_or(0);
    let mut error = at_place(&read.place.file, text, at..at + word.len(), problem);
    error.at = error.at.map(|(line, column)| (line + read.place.line - 1, column));
    error
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn problems(text: &str) -> Vec<String> {
        let mut profiles = ProfileStore::default();
        profiles.add(Path::new("p.toml"), text.into());
        check(&profiles).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_shipped_profiles_are_sound() {
        assert_eq!(check(&ProfileStore::shipped()), []);
    }

    #[test]
    fn what_reads_and_is_wrong_is_pointed_at() {
        let found = problems(
            "name = \"x\"\nnetworks = [\"0010\"]\n[[access_point]]\nname = \"inter net\"\n[bands]\nlte = [15]\n",
        );
        assert!(
            found.iter().any(|p| p.starts_with("p.toml:2:14: `0010` is no network code")),
            "{found:?}"
        );
        assert!(
            found.iter().any(|p| p.starts_with("p.toml:4:9: `inter net` is no access point name")),
            "{found:?}"
        );
        assert!(
            found.iter().any(|p| p.starts_with("p.toml:6:8: there is no E-UTRA band 15")),
            "{found:?}"
        );
        assert!(problems("name = \"x\"\n")[0].contains("nothing can match"));
    }

    #[test]
    fn two_that_claim_the_same_cards_are_told() {
        let found = problems(
            "[[carrier]]\nname = \"a\"\ncards = { imsi = [\"00101\"] }\n[[carrier]]\nname = \"b\"\ncards = { imsi = [\"00101\"] }\n",
        );
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with("p.toml:6:"), "{found:?}");
    }
}
