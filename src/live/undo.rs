//! Undo files: what was changed at which modem, and the way back.
//!
//! A file of an earlier version has the commands alone; its settings are taken from them.

use super::altered::Altered;
use super::amend::Amendment;
use super::modem_identity::ModemIdentity;
use super::refusal::Refusal;
use super::setting::Setting;
use crate::at::is_read;
use serde::{Deserialize, Serialize};

/// The file that undoes a change.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub struct Undo {
    /// When the change was made.
    pub made: String,
    /// What was changed, in words.
    pub change: String,
    /// The commands that put it back.
    pub commands: Vec<String>,
    /// What the change altered and no command puts back, by name; none in files of earlier versions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_put_back: Vec<String>,
    /// The modem that was changed; none in files of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modem: Option<ModemIdentity>,
    /// The settings, before the change and after it; none in files of earlier versions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub setting: Vec<Altered>,
}

impl Undo {
    /// What the file sets, setting by setting; fresh attaches left out.
    ///
    /// # Errors
    ///
    /// [`Refusal::Impossible`] where it holds a command that no undo of this program holds, or a setting
    /// that is read or written otherwise than by its commands: those are what the user sees and agrees to.
    pub fn targets(&self) -> Result<Vec<Altered>, Refusal> {
        let strange = |command: &str| {
            Refusal::Impossible(format!(
                "the file has a command that no undo of this program has: {command}"
            ))
        };
        let mut found = Vec::new();
        for command in self.writes() {
            let plain = !command.contains([';', '\r', '\n']);
            match Setting::of_command(command).filter(|_| plain) {
                Some((setting, before)) if is_read(setting.read_command()) => {
                    found.push(Altered { setting, before, after: None });
                }
                _ => return Err(strange(command)),
            }
        }
        for altered in &self.setting {
            let write = altered.setting.write(&altered.before).unwrap_or_default();
            let read = altered.setting.read_command();
            let shown = self.writes().iter().zip(&found).any(|(command, by_command)| {
                *command == write && by_command.setting.read_command() == read
            });
            if !shown {
                return Err(strange(if write.is_empty() { read } else { &write }));
            }
        }
        Ok(if self.setting.is_empty() { found } else { self.setting.clone() })
    }

    /// Whether a fresh attach follows: the radio off and on at the end.
    pub fn attaches(&self) -> bool {
        self.commands.ends_with(&["AT+CFUN=4".into(), "AT+CFUN=1".into()])
    }

    fn writes(&self) -> &[String] {
        let end = self.commands.len() - if self.attaches() { 2 } else { 0 };
        &self.commands[..end]
    }
}

impl Amendment {
    /// The file that undoes it; `None` where it cannot be undone.
    pub fn undo_file(&self, made: String, modem: ModemIdentity) -> Option<Undo> {
        let commands = self.undo();
        let (back, lost): (Vec<_>, Vec<_>) =
            self.altered.iter().partition(|a| a.setting.write(&a.before).is_some());
        (!commands.is_empty()).then(|| Undo {
            made,
            change: format!("{} became {}", self.now, self.then),
            commands,
            modem: Some(modem),
            setting: back.into_iter().cloned().collect(),
            not_put_back: lost.into_iter().map(|a| a.setting.name()).collect(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_an_earlier_version_still_reads() {
        let text = "made = \"2026-05-02T10:00:00+00:00\"\n\
                    change = \"context 1: \\\"gauge.exmaple\\\", IP became context 1: \\\"gauge.example\\\"\"\n\
                    commands = ['AT+CGDCONT=1,\"IP\",\"gauge.exmaple\"', \"AT+CFUN=4\", \"AT+CFUN=1\"]\n";
        let undo: Undo = toml::from_str(text).unwrap();
        assert!(undo.attaches() && undo.modem.is_none());
        let targets = undo.targets().unwrap();
        assert_eq!(targets.len(), 1);
        assert_eq!(targets[0].before, "\"IP\",\"gauge.exmaple\"");
    }

    #[test]
    fn a_command_that_no_undo_holds_is_refused() {
        for command in ["AT+CFUN=1,1;+CGDCONT=1", "AT&F", "AT+CPIN=\"0000\"", "ATD112;"] {
            let undo = Undo {
                made: String::new(),
                change: String::new(),
                commands: vec![command.into()],
                modem: None,
                setting: Vec::new(),
                not_put_back: Vec::new(),
            };
            assert!(undo.targets().is_err(), "{command}");
        }
    }

    #[test]
    fn a_setting_that_the_commands_do_not_show_is_refused() {
        let refused = |setting: &str| {
            let text = format!(
                "made = \"\"\nchange = \"\"\ncommands = ['AT+CNMP=38']\n[[setting]]\nbefore = \"38\"\n{setting}"
            );
            toml::from_str::<Undo>(&text).unwrap().targets().is_err()
        };
        assert!(!refused("kind = \"vendor\"\nread = \"AT+CNMP?\"\nwrite = \"AT+CNMP=\""));
        assert!(refused("kind = \"vendor\"\nread = \"AT+CNMP?\"\nwrite = \"AT+CPIN=\""));
        assert!(refused("kind = \"vendor\"\nread = \"ATD112;\"\nwrite = \"AT+CNMP=\""));
        assert!(refused("kind = \"functionality\""));
    }
}
