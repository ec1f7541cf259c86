//! Undo files: what was changed at which modem, and the way back.
//!
//! A file of an earlier version has the commands alone; its settings are taken from them.

use super::amend::Refusal;
use super::apply::{Altered, SameModem, contexts_before, converge, put_back_strays, reattach};
use super::journal::Journal;
use super::modem_identity::{Match, ModemIdentity};
use super::setting::Setting;
use crate::at::{Client, ClientError};
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
    /// The modem that was changed; none in files of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modem: Option<ModemIdentity>,
    /// The settings, before the change and after it; none in files of earlier versions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub setting: Vec<Altered>,
}

/// What the user has said that an undo may do all the same.
#[derive(Clone, Copy, Debug, Default)]
pub struct Force {
    /// The modem may be another one, or unknown.
    pub other_modem: bool,
    /// The settings may have moved on since the change.
    pub moved_on: bool,
}

impl Undo {
    /// What the file sets, setting by setting; fresh attaches left out.
    ///
    /// # Errors
    ///
    /// [`Refusal::Impossible`] where it holds a command that no undo of this program holds.
    pub fn targets(&self) -> Result<Vec<Altered>, Refusal> {
        let mut found = Vec::new();
        for command in self.writes() {
            let plain = !command.contains([';', '\r', '\n']);
            let Some((setting, before)) = Setting::of_command(command).filter(|_| plain) else {
                return Err(Refusal::Impossible(format!(
                    "the file holds a command that no undo of this program holds: {command}"
                )));
            };
            found.push(Altered { setting, before, after: None });
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

    /// Puts everything back at the modem on the line, reads it back, and makes the fresh attach that
    /// the change had made.
    ///
    /// # Errors
    ///
    /// [`Refusal`]: with nothing changed where the modem is another one or its settings have moved
    /// on; otherwise it says what is not as it was.
    pub fn put_back(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        force: Force,
    ) -> Result<(), Refusal> {
        let targets = self.targets()?;
        let mut there = SameModem::read(client, journal.key()?)?;
        match self.modem.as_ref().map_or(Match::Unknown, |modem| modem.compare(there.identity())) {
            Match::Same => {}
            _ if force.other_modem => {}
            Match::OtherModem => return Err(Refusal::OtherModem("another modem")),
            Match::OtherCard => return Err(Refusal::OtherModem("another card in the modem")),
            Match::Unknown => {
                return Err(Refusal::OtherModem("a modem that cannot be told from another"));
            }
        }
        for target in &targets {
            let now = target.setting.read(client)?;
            let expected = now == target.before || target.after.as_ref().is_none_or(|a| *a == now);
            if !expected && !force.moved_on {
                return Err(Refusal::MovedOn { name: target.setting.name(), now });
            }
        }
        if client.is_stopped() {
            return Err(Refusal::Line(ClientError::Stopped));
        }
        let guarded = client.guard(true);
        let done = self.write_back(client, journal, &mut there, &targets);
        client.guard(guarded);
        done
    }

    fn write_back(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        modem: &mut SameModem,
        targets: &[Altered],
    ) -> Result<(), Refusal> {
        let contexts = contexts_before(client, targets)?;
        for target in targets {
            converge(client, modem, &target.setting, &target.before, None)?;
        }
        if let Some(contexts) = contexts {
            put_back_strays(client, modem, targets, &contexts)?;
        }
        if self.attaches() { reattach(client, journal, modem) } else { Ok(()) }
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
            };
            assert!(undo.targets().is_err(), "{command}");
        }
    }
}
