//! An undo at the modem on the line: it is the modem that was changed, its settings are as the change left them,
//! and what was put back is read.

use super::altered::Altered;
use super::apply::{converge, reattach};
use super::journal::Journal;
use super::modem_identity::Match;
use super::refusal::Refusal;
use super::same_modem::SameModem;
use super::strays::Strays;
use super::undo::Undo;
use crate::at::{Client, ClientError};

/// What the user has said that an undo may do all the same.
#[derive(Clone, Copy, Debug, Default)]
pub struct Force {
    /// The modem may be another one, or unknown.
    pub other_modem: bool,
    /// The settings may have moved on since the change.
    pub moved_on: bool,
}

impl Undo {
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
                return Err(Refusal::OtherModem("a modem that cannot be identified"));
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
        let strays = Strays::before(client, targets)?;
        for target in targets {
            converge(client, modem, &target.setting, &target.before, None)?;
        }
        strays.put_back(client, modem, targets)?;
        if self.attaches() { reattach(client, journal, modem) } else { Ok(()) }
    }
}
