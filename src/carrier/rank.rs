//! Which profiles fit a card: by subscriber number, group, provider name, card number, network.

use super::known::Known;
use super::load_error::LoadError;
use super::profile::Carrier;
use super::store::{ProfileStore, StoredProfile};
use crate::case::Case;
use crate::sanitize::plain;

/// A profile that fits, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The profile.
    pub read: StoredProfile,
    /// The reasons, the strongest first.
    pub reasons: Vec<String>,
    /// What the profile wants and is not known of the card.
    pub unknown: Vec<&'static str>,
    strength: u32,
}

/// The profiles that fit, the best first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ranking {
    /// The profiles.
    pub fits: Vec<Fit>,
    /// Those that may fit, for all that is known, and cannot be read.
    pub unreadable: Vec<LoadError>,
}

impl Ranking {
    /// Those that fit best; more than one where they fit equally.
    pub fn best(&self) -> &[Fit] {
        let equal = self.fits.iter().take_while(|f| f.strength == self.fits[0].strength).count();
        &self.fits[..equal]
    }

    /// The one that fits best, where no other does equally and no other might once more is known.
    pub fn only(&self) -> Option<&Fit> {
        match self.best() {
            [only] if self.undecided_by().is_empty() => Some(only),
            _ => None,
        }
    }

    /// Those that fit best, and those that want more of the card than is known and could still be the right one.
    fn near(&self) -> impl Iterator<Item = &Fit> {
        let best = self.best().first().map_or(0, |f| f.strength);
        self.fits
            .iter()
            .filter(move |f| f.strength == best || !f.unknown.is_empty() && f.strength + 60 >= best)
    }

    /// What is not known of the card and would tell the candidates apart.
    pub fn undecided_by(&self) -> Vec<&'static str> {
        let mut missing: Vec<_> = self.near().flat_map(|f| f.unknown.iter().copied()).collect();
        if self.fits.len() < 2 {
            missing.clear();
        }
        missing.sort_unstable();
        missing.dedup();
        missing
    }
}

impl ProfileStore {
    /// The profiles that fit what is known of a card, the best first, each with its reasons.
    pub fn rank(&self, known: &Known) -> Ranking {
        let (candidates, unreadable) = self.candidates(known);
        let mut fits: Vec<Fit> =
            candidates.into_iter().filter_map(|read| fit(read, known)).collect();
        fits.sort_by(|a, b| {
            b.strength.cmp(&a.strength).then_with(|| a.read.carrier.name.cmp(&b.read.carrier.name))
        });
        Ranking { fits, unreadable }
    }
}

fn fit(read: StoredProfile, known: &Known) -> Option<Fit> {
    let carrier: &Carrier = &read.carrier;
    let mut strength = 0;
    let mut reasons = Vec::new();
    let mut unknown = Vec::new();
    let longest = |list: &[String], digits: &str| {
        list.iter()
            .filter(|p| !p.is_empty() && digits.starts_with(p.as_str()))
            .map(String::len)
            .max()
    };
    if let Some(imsi) = &known.imsi {
        let own = longest(&carrier.cards.imsi, imsi).or_else(|| longest(&carrier.networks, imsi));
        match own {
            Some(length) => {
                strength += 100 + u32::try_from(length).unwrap_or(0) * 4;
                reasons.push(format!("the subscriber number begins with {}", &imsi[..length]));
            }
            // A card of another carrier.
            None => return None,
        }
    }
    // What a profile demands of the card beyond its number must not be otherwise.
    for (name, wanted, found, weight, starts) in [
        ("GID1 (group)", &carrier.cards.gid1, &known.gid1, 50, true),
        ("SPN (provider name)", &carrier.cards.provider_name, &known.provider_name, 40, false),
        ("ICCID (card number)", &carrier.cards.iccid, &known.iccid, 30, true),
    ] {
        if wanted.is_empty() {
            continue;
        }
        let Some(found) = found else {
            unknown.push(name);
            continue;
        };
        let lower = found.to_lowercase();
        let fits = |w: &String| {
            let w = w.to_lowercase();
            !w.is_empty() && if starts { lower.starts_with(&w) } else { lower == w }
        };
        if wanted.iter().any(fits) {
            strength += weight;
            reasons.push(format!("{name} is {found}"));
        } else {
            return None;
        }
    }
    if let Some(network) = &known.network {
        if carrier.networks.contains(network) || carrier.equivalent.contains(network) {
            strength += 10;
            reasons.push(format!("it is on the network {network}"));
        } else if carrier.roaming.partners.contains(network) {
            strength += 5;
            reasons.push(format!("it is on a partner's network {network}"));
        }
    }
    (strength > 0).then_some(Fit { read, reasons, unknown, strength })
}

/// A profile was named that does not exist.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no profile `{}`; `mastside carrier list` shows them all", plain(.0))]
pub struct UnknownProfile(pub String);

/// The profile that a case is held against, and the sentence that says why.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The profile, where one fits alone or was named.
    pub carrier: Option<Carrier>,
    /// Why this one, or why none.
    pub sentence: String,
    /// Whether several fit alike.
    pub tied: bool,
    /// Those that do, or would once more is known of the card; none where they are more than `MOST`.
    pub candidates: Vec<Carrier>,
    /// Profiles that may be the right one and cannot be read, a sentence each.
    pub unreadable: Vec<String>,
}

impl Choice {
    /// So many profiles are held against a card at once.
    const MOST: usize = 16;

    /// No profile, and why.
    const fn none(sentence: String) -> Self {
        Self {
            carrier: None,
            sentence,
            tied: false,
            candidates: Vec::new(),
            unreadable: Vec::new(),
        }
    }

    /// Chooses by name, or by what a case holds of its card; never silently between equals.
    ///
    /// # Errors
    ///
    /// [`UnknownProfile`], where a profile is named that does not exist.
    pub fn make(
        profiles: &ProfileStore,
        case: &Case,
        name: Option<&str>,
    ) -> Result<Self, UnknownProfile> {
        if let Some(name) = name {
            let read = profiles.named(name).ok_or_else(|| UnknownProfile(name.to_owned()))?;
            let sentence = format!("Held against the profile {}, as asked.", read.carrier.name);
            return Ok(Self { carrier: Some(read.carrier), ..Self::none(sentence) });
        }
        let known = Known::of(case);
        let of_card =
            known.imsi.is_some() || known.iccid.is_some() || known.provider_name.is_some();
        if !of_card {
            let sentence = "Without the card's numbers no carrier profile was chosen, so access point names, bands and roaming were not held against one; --carrier NAME names it.";
            return Ok(Self::none(sentence.into()));
        }
        let ranking = profiles.rank(&known);
        let unreadable = ranking.unreadable.iter().map(LoadError::sentence).collect();
        if let Some(fit) = ranking.only() {
            let sentence = format!(
                "Held against the profile {}: {}.",
                fit.read.carrier.name,
                fit.reasons.join("; ")
            );
            let carrier = Some(fit.read.carrier.clone());
            return Ok(Self { carrier, unreadable, ..Self::none(sentence) });
        }
        let near: Vec<_> = ranking.near().take(Self::MOST + 1).collect();
        let few = (2..=Self::MOST).contains(&near.len());
        let names: Vec<_> =
            ranking.fits.iter().take(4).map(|f| f.read.carrier.name.as_str()).collect();
        let sentence = match ranking.fits.len() {
            0 => "No carrier profile fits this card, so access point names, bands and roaming were not held against one.".into(),
            n => {
                let more = if n > 4 { format!(" and {} more", n - 4) } else { String::new() };
                let by = ranking.undecided_by();
                let by = if by.is_empty() { "--carrier NAME chooses one".to_owned() } else { format!("{} would tell them apart", by.join(" and ")) };
                let held = if few { "only what all of them want was held against it" } else { "none was used" };
                format!("Several carrier profiles fit this card ({}{more}), and {held}; {by}.", names.join(", "))
            }
        };
        let tied = ranking.fits.len() > 1;
        let candidates = near.into_iter().filter(|_| few).map(|f| f.read.carrier.clone()).collect();
        Ok(Self { tied, candidates, unreadable, ..Self::none(sentence) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(known: &Known) -> Vec<String> {
        ProfileStore::shipped().rank(known).fits.into_iter().map(|f| f.read.carrier.name).collect()
    }

    #[test]
    fn two_carriers_on_one_network_are_told_apart_by_the_card() {
        let card = Known { imsi: Some("001010000012345".into()), ..Known::default() };
        let ranking = ProfileStore::shipped().rank(&card);
        assert_eq!(names(&card), ["Ember Mobile", "Riverband"]);
        assert_eq!(ranking.only(), None, "never chosen silently");
        assert_eq!(ranking.undecided_by(), ["GID1 (group)", "SPN (provider name)"]);
        let group = Known {
            gid1: Some("5242".into()),
            provider_name: Some("Riverband".into()),
            ..card.clone()
        };
        assert_eq!(
            ProfileStore::shipped().rank(&group).only().unwrap().read.carrier.name,
            "Riverband"
        );
        let other = Known { gid1: Some("FFFF".into()), ..card };
        assert_eq!(
            ProfileStore::shipped().rank(&other).only().unwrap().read.carrier.name,
            "Ember Mobile"
        );
    }

    #[test]
    fn a_card_of_nobody_fits_nobody() {
        assert!(
            names(&Known { imsi: Some("310150123456789".into()), ..Known::default() }).is_empty()
        );
        assert!(names(&Known::default()).is_empty());
    }
}
