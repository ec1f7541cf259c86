//! One reading: what a modem said of its cell and levels, from the facts of its replies.

use super::sample::{Cell, Levels, METRES_A_HDOP, Neighbour, Position};
use crate::case::{self, Cell as Whose, Domain, Fact, Quantity, Rat, RegistrationStatus, Value};
use crate::response::standard::signal;
use chrono::{DateTime, Utc};
use std::io;
use std::time::Duration;

/// What the modem said at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When the answer came.
    pub at: DateTime<Utc>,
    /// How long the modem needed.
    pub took: Duration,
    /// The serving cell.
    pub cell: Cell,
    /// Its levels.
    pub levels: Levels,
    /// The `<stat>` of the registration that carries data.
    pub registration: Option<u8>,
    /// Other cells heard.
    pub neighbours: Vec<Neighbour>,
    /// Width of the channel, MHz, where reported.
    pub bandwidth_mhz: Option<f64>,
    /// The receive branches' levels, dBm, by antenna port, where reported.
    pub branches: Vec<Option<f64>>,
    /// The spot that the source itself names (a simulated walk).
    pub spot: Option<String>,
    /// The position that the source itself tells.
    pub position: Option<Position>,
    /// The heading that the source itself tells, degrees.
    pub heading_deg: Option<f64>,
}

/// Where readings come from: a live modem or a simulated place.
pub trait Source {
    /// Takes the next reading; `None` when the source has no more.
    ///
    /// # Errors
    ///
    /// What went wrong on the way; a time-out is worth another try, other errors are not.
    fn read(&mut self) -> io::Result<Option<Reading>>;

    /// Tells a simulated antenna where it looks now; a real one is turned by hand.
    fn turn_to(&mut self, _heading_deg: f64) {}
}

impl Reading {
    /// From the facts of several replies in order, each with whether it gave its levels as indices.
    pub fn from_rounds<'f, F: IntoIterator<Item = &'f Fact>>(
        rounds: impl IntoIterator<Item = (bool, F)>,
        at: DateTime<Utc>,
        took: Duration,
    ) -> Self {
        let mut heard = Heard::default();
        for (indexed, facts) in rounds {
            let (mut levels, mut qualities) = (0, 0);
            for fact in facts {
                heard.take(fact);
                let Fact::Reading(reading) = fact else { continue };
                let (nth, index) = match reading.quantity {
                    Quantity::Rsrp => (&mut levels, &mut heard.levels.rsrp_index),
                    Quantity::Rsrq => (&mut qualities, &mut heard.levels.rsrq_index),
                    _ => continue,
                };
                if reading.cell != Whose::Serving {
                    continue;
                }
                if let Value::Number(Some(value)) = reading.value {
                    // Indices 0 and 1 give the same edge: which of them it was is not known.
                    *index = indexed
                        .then(|| signal::index_of(reading.quantity, *nth, value))
                        .flatten()
                        .filter(|index| *index > 1);
                }
                *nth += 1;
            }
        }
        heard.finish(at, took)
    }
}

#[derive(Default)]
struct Heard {
    cell: Cell,
    mcc: String,
    mnc: String,
    levels: Levels,
    other_level: Option<f64>,
    other_quality: Option<f64>,
    registrations: Vec<(Domain, u8)>,
    neighbours: Vec<Neighbour>,
    bandwidth_mhz: Option<f64>,
    branches: Vec<Option<f64>>,
    /// The best ratio of a branch: what the branches together have is no less.
    branch_sinr: Option<f64>,
    position: Option<Position>,
}

impl Heard {
    fn take(&mut self, fact: &Fact) {
        match fact {
            Fact::Reading(reading) => self.take_reading(reading),
            Fact::Technology(rat) => self.cell.technology = Cell::of_technology(*rat),
            Fact::Place(place) => {
                self.position = Some(Position {
                    latitude: place.latitude,
                    longitude: place.longitude,
                    altitude_m: place.altitude_m,
                    accuracy_m: place.hdop.map(|hdop| hdop * METRES_A_HDOP),
                });
            }
            Fact::Registration(r) => self.registrations.push((r.domain, r.stat)),
            Fact::Port(port, Quantity::Rsrp, level) => self.branch(*port, *level),
            Fact::Port(_, Quantity::Sinr, Some(ratio)) => {
                self.branch_sinr = Some(self.branch_sinr.map_or(*ratio, |best| best.max(*ratio)));
            }
            _ => {}
        }
    }

    fn take_reading(&mut self, reading: &case::Reading) {
        match (reading.quantity, &reading.value, reading.cell) {
            (quantity, Value::Number(Some(value)), Whose::Serving) => {
                self.serving(quantity, *value);
            }
            (quantity, Value::Number(Some(value)), Whose::Neighbour) => {
                self.neighbour(quantity, *value);
            }
            (Quantity::TacHex, Value::Word(tac), Whose::Serving) => {
                self.cell.tac_hex = tac.to_string();
            }
            (Quantity::Mcc, Value::Word(mcc), Whose::Serving) => self.mcc = mcc.to_string(),
            (Quantity::Mnc, Value::Word(mnc), Whose::Serving) => self.mnc = mnc.to_string(),
            _ => {}
        }
    }

    fn serving(&mut self, quantity: Quantity, value: f64) {
        match quantity {
            Quantity::Rsrp => self.levels.rsrp_dbm = Some(value),
            Quantity::Rsrq => self.levels.rsrq_db = Some(value),
            Quantity::Sinr => self.levels.sinr_db = Some(value),
            Quantity::Rssi => self.levels.rssi_dbm = Some(value),
            Quantity::Rscp | Quantity::Rxlev => self.other_level = Some(value),
            Quantity::EcNo => self.other_quality = Some(value),
            Quantity::Band => self.cell.band = whole(value),
            Quantity::Earfcn | Quantity::NrArfcn | Quantity::Uarfcn | Quantity::Arfcn => {
                self.cell.channel = whole(value);
            }
            Quantity::Pci | Quantity::Psc => self.cell.pci = whole(value),
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the range of the quantity is 0 to 2^36"
            )]
            Quantity::CellId => self.cell.cell_id = Some(value as u64),
            Quantity::BandwidthMhz => self.bandwidth_mhz = Some(value),
            Quantity::Act => {
                if let Some(rat) =
                    whole(value).and_then(|n| u8::try_from(n).ok()).and_then(Rat::from_act)
                {
                    self.cell.technology = Cell::of_technology(rat);
                }
            }
            _ => {}
        }
    }

    /// A neighbour's facts come one after the other; a part that is already there begins the next one.
    fn neighbour(&mut self, quantity: Quantity, value: f64) {
        let mut next = self.neighbours.pop().unwrap_or_default();
        let known = match quantity {
            Quantity::Pci | Quantity::Psc => next.pci.is_some(),
            Quantity::Earfcn | Quantity::NrArfcn | Quantity::Uarfcn | Quantity::Arfcn => {
                next.channel.is_some()
            }
            Quantity::Rsrp | Quantity::Rscp | Quantity::Rxlev => next.rsrp_dbm.is_some(),
            _ => {
                if next != Neighbour::default() {
                    self.neighbours.push(next);
                }
                return;
            }
        };
        if known {
            self.neighbours.push(std::mem::take(&mut next));
        }
        match quantity {
            Quantity::Pci | Quantity::Psc => next.pci = whole(value),
            Quantity::Rsrp | Quantity::Rscp | Quantity::Rxlev => next.rsrp_dbm = Some(value),
            _ => next.channel = whole(value),
        }
        self.neighbours.push(next);
    }

    fn branch(&mut self, port: u8, level: Option<f64>) {
        let port = usize::from(port.min(7));
        if self.branches.len() <= port {
            self.branches.resize(port + 1, None);
        }
        self.branches[port] = level;
    }

    fn finish(mut self, at: DateTime<Utc>, took: Duration) -> Reading {
        self.cell.plmn = self.mcc + &self.mnc;
        self.levels.rsrp_dbm = self.levels.rsrp_dbm.or(self.other_level);
        self.levels.sinr_db = self.levels.sinr_db.or(self.branch_sinr);
        self.levels.rsrq_db = self.levels.rsrq_db.or(self.other_quality);
        Reading {
            at,
            took,
            cell: self.cell,
            levels: self.levels,
            registration: carrying(&self.registrations),
            neighbours: self.neighbours,
            bandwidth_mhz: self.bandwidth_mhz,
            branches: self.branches,
            spot: None,
            position: self.position,
            heading_deg: None,
        }
    }
}

/// The state that counts: a registered packet domain before the others, the newest technology first.
pub(crate) fn carrying(registrations: &[(Domain, u8)]) -> Option<u8> {
    const ORDER: [Domain; 4] = [Domain::FiveG, Domain::Eps, Domain::Packet, Domain::Circuit];
    let last = |domain| registrations.iter().rev().find(|r| r.0 == domain).map(|r| r.1);
    ORDER[..3]
        .iter()
        .filter_map(|d| last(*d))
        .find(|stat| is_registered(*stat))
        .or_else(|| ORDER.iter().find_map(|d| last(*d)))
}

/// Whether a `<stat>` means registered.
pub const fn is_registered(stat: u8) -> bool {
    matches!(RegistrationStatus::of(stat), RegistrationStatus::Registered)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked against the range"
)]
fn whole(value: f64) -> Option<u32> {
    (value >= 0.0 && value <= f64::from(u32::MAX)).then_some(value as u32)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::Registration;

    fn reading(facts: &[Fact]) -> Reading {
        Reading::from_rounds([(false, facts)], DateTime::UNIX_EPOCH, Duration::ZERO)
    }

    #[test]
    fn the_registration_that_carries_data_wins() {
        let state = |domain, stat| {
            Fact::Registration(Registration { domain, stat, act: None, unsolicited: false })
        };
        assert_eq!(
            reading(&[state(Domain::Circuit, 3), state(Domain::Eps, 5)]).registration,
            Some(5)
        );
        assert_eq!(
            reading(&[state(Domain::Packet, 1), state(Domain::Eps, 4)]).registration,
            Some(1)
        );
        assert_eq!(reading(&[state(Domain::Eps, 1), state(Domain::Eps, 2)]).registration, Some(2));
    }

    #[test]
    fn an_index_stands_beside_the_level_until_another_reply_gives_dbm() {
        let of = |q, v| Fact::number(q, v, Whose::Serving);
        let indexed = [of(Quantity::Rsrq, -10.0), of(Quantity::Rsrp, -93.0)];
        let own = [of(Quantity::Rsrp, -94.0)];
        let read = |rounds: Vec<(bool, &[Fact])>| {
            Reading::from_rounds(rounds, DateTime::UNIX_EPOCH, Duration::ZERO).levels
        };
        // TS 36.133 table 9.1.4-1: RSRP_48 is -93 dBm to -92 dBm, RSRQ_20 is -10 dB to -9.5 dB.
        let levels = read(vec![(true, &indexed)]);
        assert_eq!((levels.rsrp_index, levels.rsrq_index), (Some(48), Some(20)));
        assert_eq!((levels.rsrp_middle_dbm(), levels.rsrq_middle_db()), (Some(-92.5), Some(-9.75)));
        let levels = read(vec![(true, &indexed), (false, &own)]);
        assert_eq!((levels.rsrp_index, levels.rsrp_middle_dbm()), (None, Some(-94.0)));
    }

    #[test]
    fn neighbours_are_told_apart_and_do_not_touch_the_serving_cell() {
        let of = |q, v| Fact::number(q, v, Whose::Neighbour);
        let r = reading(&[
            Fact::number(Quantity::Pci, 20.0, Whose::Serving),
            of(Quantity::Earfcn, 6300.0),
            of(Quantity::Pci, 188.0),
            of(Quantity::Rsrp, -105.0),
            of(Quantity::Earfcn, 1501.0),
        ]);
        assert_eq!(r.cell.pci, Some(20));
        assert_eq!(r.neighbours.len(), 2);
        assert_eq!((r.neighbours[0].pci, r.neighbours[1].channel), (Some(188), Some(1501)));
    }

    #[test]
    fn code_power_stands_for_the_level_on_umts() {
        let of = |q, v| Fact::number(q, v, Whose::Serving);
        let r = reading(&[
            of(Quantity::Rscp, -84.0),
            of(Quantity::EcNo, -6.0),
            of(Quantity::Rssi, -79.0),
        ]);
        assert_eq!((r.levels.rsrp_dbm, r.levels.rsrq_db), (Some(-84.0), Some(-6.0)));
    }
}
