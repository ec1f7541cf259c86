//! A team's own words beside the rules: notes, steps and contacts from a file, without rebuilding.
//!
//! ```toml
//! [contact]
//! carrier = "Ember Mobile desk, 555-0100"
//!
//! [rule."card/pin-required"]
//! note = "Our cards come with the PIN switched off."
//! steps = [{ by = "installer", text = "Take a card from box B.", commands = ["AT+CPIN?"] }]
//! ```
//!
//! Nothing in the file changes what is found; thresholds are changed in the tables.

use super::{Acts, find};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The file of one team.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Team {
    /// Whom to call, by the word of the role: `carrier`.
    #[serde(default)]
    contact: BTreeMap<String, String>,
    /// What to add, by the id of the rule or by a whole layer: `card/lock`, `card`.
    #[serde(default)]
    rule: BTreeMap<String, Addition>,
}

/// What a team adds to one rule.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Addition {
    /// A remark that stands above the steps.
    pub note: Option<String>,
    /// Steps that follow those of the rule.
    #[serde(default)]
    pub steps: Vec<Step>,
}

/// A step of the team's own.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Who does it, by the word of the role.
    pub by: String,
    /// What to do.
    pub text: String,
    /// Commands for it.
    #[serde(default)]
    pub commands: Vec<String>,
    /// Whether it changes something that lasts.
    #[serde(default)]
    pub changes: bool,
    /// A caution that belongs beside it.
    pub caution: Option<String>,
}

/// Why a team's file cannot be used: file, line and key, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct TeamError(String);

impl Team {
    /// Reads the file that is named, or the user's own where it exists and none is named; without
    /// either, a team that adds nothing.
    ///
    /// # Errors
    ///
    /// [`TeamError`] where the file cannot be read, or holds something that has no place there.
    pub fn load(named: Option<&Path>) -> Result<Self, TeamError> {
        let path = match named {
            Some(path) => path.to_owned(),
            None => match Self::own_file().filter(|p| p.is_file()) {
                Some(path) => path,
                None => return Ok(Self::default()),
            },
        };
        let text = std::fs::read_to_string(&path)
            .map_err(|e| TeamError(format!("{}: cannot be read: {e}", path.display())))?;
        Self::read(&text, &path)
    }

    /// The user's own file, by the platform's convention; `None` where there is no home.
    pub fn own_file() -> Option<PathBuf> {
        use etcetera::BaseStrategy;
        let strategy = etcetera::choose_base_strategy().ok()?;
        Some(strategy.config_dir().join("mastside").join("team.toml"))
    }

    /// Reads a file's text; `path` names it in errors.
    ///
    /// # Errors
    ///
    /// As [`Team::load`].
    pub fn read(text: &str, path: &Path) -> Result<Self, TeamError> {
        let fail = |line: usize, problem: String| {
            TeamError(format!("{}, line {line}: {problem}", path.display()))
        };
        let team: Self = toml::from_str(text).map_err(|e| {
            let at = e.span().map_or(0, |s| s.start);
            fail(line_of(text, at), e.message().trim().to_owned())
        })?;
        let line = |key: &str| line_of(text, text.find(key).unwrap_or(0));
        for role in team
            .contact
            .keys()
            .chain(team.rule.values().flat_map(|a| a.steps.iter().map(|s| &s.by)))
        {
            if Acts::named(role).is_none() {
                let roles: Vec<_> = Acts::ALL.iter().map(|a| a.word()).collect();
                let roles = roles.join(", ");
                return Err(fail(
                    line(role),
                    format!("there is no role `{role}`; there are {roles}"),
                ));
            }
        }
        for id in team.rule.keys() {
            if find(id).is_none() && super::Layer::named(id).is_none() {
                return Err(fail(
                    line(id),
                    format!("there is no rule `{id}`; `mastside rules` lists them"),
                ));
            }
        }
        Ok(team)
    }

    /// What is added to a rule: for its layer first, then for the rule itself.
    pub fn additions(&self, id: &str) -> Vec<&Addition> {
        let layer = id.split('/').next().unwrap_or(id);
        [layer, id].into_iter().filter_map(|key| self.rule.get(key)).collect()
    }

    /// Whom to call for a role.
    pub fn contact(&self, role: Acts) -> Option<&str> {
        self.contact.get(role.word()).map(String::as_str)
    }
}

fn line_of(text: &str, at: usize) -> usize {
    crate::span::Lines::of(text).place(at).line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Team, String> {
        Team::read(text, Path::new("team.toml")).map_err(|e| e.to_string())
    }

    #[test]
    fn notes_steps_and_contacts_are_found_by_rule_layer_and_role() {
        let team = read(
            "[contact]\ncarrier = \"desk\"\n[rule.card]\nnote = \"all cards\"\n\
             [rule.\"card/lock\"]\nsteps = [{ by = \"maker\", text = \"Ask for the code.\" }]\n",
        )
        .unwrap();
        assert_eq!(team.contact(Acts::Carrier), Some("desk"));
        let added = team.additions("card/lock");
        assert_eq!(added[0].note.as_deref(), Some("all cards"));
        assert_eq!(added[1].steps[0].text, "Ask for the code.");
        assert!(team.additions("radio/weak").is_empty());
    }

    #[test]
    fn what_has_no_place_is_told_with_its_line() {
        let wrong = read("[rule.\"card/lok\"]\nnote = \"x\"\n").unwrap_err();
        assert!(wrong.contains("line 1") && wrong.contains("card/lok"), "{wrong}");
        let wrong = read("[contact]\n\nboss = \"x\"\n").unwrap_err();
        assert!(wrong.contains("line 3") && wrong.contains("installer"), "{wrong}");
        let wrong = read("[rule.card]\nnotes = \"x\"\n").unwrap_err();
        assert!(wrong.contains("line 2"), "{wrong}");
    }
}
