//! An undo at the modem on the line: it is the modem that was changed, its settings are as the change left them,
//! and what was put back is read.

use super::altered::Altered;
use super::apply::{converge, read_now, write_and_attach};
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
        // A refusal gives its reason only then.
        client.switch("+CMEE", "1")?;
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
            let now = read_now(client, &target.setting)?;
            let expected = now.as_ref().is_some_and(|now| {
                *now == target.before || target.after.as_ref().is_none_or(|a| a == now)
            });
            if !expected && !force.moved_on {
                let now = now.unwrap_or_else(|| "nothing that can be read".into());
                return Err(Refusal::MovedOn { name: target.setting.name(), now });
            }
        }
        if client.is_stopped() {
            return Err(Refusal::Line(ClientError::Stopped));
        }
        let guarded = client.guard(true);
        let done = self.write_back(client, journal, &mut there, &targets, force);
        client.guard(guarded);
        done
    }

    fn write_back(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        modem: &mut SameModem,
        targets: &[Altered],
        force: Force,
    ) -> Result<(), Refusal> {
        let strays = match Strays::before(client, targets) {
            // What a damaged command left cannot be compared with anything.
            Err(Refusal::Unreadable(_)) if force.moved_on => None,
            strays => Some(strays?),
        };
        let mut write = |client: &mut Client<'_>, modem: &mut SameModem| {
            for target in targets {
                converge(client, modem, &target.setting, &target.before, None)?;
            }
            strays.as_ref().map_or(Ok(()), |strays| strays.put_back(client, modem, targets))
        };
        if self.attaches() {
            write_and_attach(client, journal, modem, &mut write)
        } else {
            write(client, modem)
        }
    }
}
