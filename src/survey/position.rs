//! Where the receiver says it is: NMEA 0183 sentences from a second port, a file or TCP.
//!
//! Sentences are read by the `nmea` library. What it lets through is checked here: the status comes
//! first (a receiver without a fix repeats its last place), then the ranges (latitude 99 parses).
//! Accuracy is the receiver's own where it tells it (GST, in metres); from HDOP it is a guess by
//! common practice, five metres a unit, no source.

use super::sample::{METRES_A_HDOP, Position};
use nmea::sentences::FixType;
use nmea::sentences::rmc::RmcStatusOfFix;
use std::io::{self, BufRead, BufReader, Read};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// A longer sentence is noise: NMEA 0183 ends them at 82 characters, receivers go a little beyond.
const LONGEST: usize = 200;

/// Puts the sentences of one moment together.
#[derive(Debug, Default)]
pub struct Receiver {
    place: Option<Position>,
    accuracy_m: Option<f64>,
    altitude_m: Option<f64>,
    /// Sentences that could not be read or had a wrong checksum.
    pub refused: u64,
}

impl Receiver {
    /// Takes one sentence; returns the position where the sentence gives a valid one.
    ///
    /// A sentence that says the fix is lost forgets the position, and so does an impossible place.
    pub fn take(&mut self, sentence: &str) -> Option<Position> {
        let Ok(parsed) = nmea::parse_str(sentence.trim()) else {
            self.refused += 1;
            return None;
        };
        match parsed {
            nmea::ParseResult::GGA(gga) => {
                let fixed = matches!(
                    gga.fix_type,
                    Some(
                        FixType::Gps
                            | FixType::DGps
                            | FixType::Pps
                            | FixType::Rtk
                            | FixType::FloatRtk
                    )
                );
                self.altitude_m =
                    gga.altitude.map(f64::from).filter(|m| (-500.0..=9000.0).contains(m));
                if self.accuracy_m.is_none() {
                    self.accuracy_m = gga
                        .hdop
                        .map(f64::from)
                        .filter(|h| *h > 0.0 && *h < 50.0)
                        .map(|h| (h * METRES_A_HDOP * 10.0).round() / 10.0);
                }
                self.place(fixed, gga.latitude, gga.longitude)
            }
            nmea::ParseResult::RMC(rmc) => {
                let fixed = matches!(
                    rmc.status_of_fix,
                    RmcStatusOfFix::Autonomous | RmcStatusOfFix::Differential
                );
                self.place(fixed, rmc.lat, rmc.lon)
            }
            nmea::ParseResult::GST(gst) => {
                let (north, east) = (gst.lat_sd.map(f64::from), gst.long_sd.map(f64::from));
                self.accuracy_m =
                    north.zip(east).map(|(n, e)| n.hypot(e)).filter(|m| m.is_finite());
                None
            }
            _ => None,
        }
    }

    fn place(
        &mut self,
        fixed: bool,
        latitude: Option<f64>,
        longitude: Option<f64>,
    ) -> Option<Position> {
        let inside = |v: Option<f64>, most: f64| {
            v.filter(|v| v.abs() <= most).map(|v| (v * 1e7).round() / 1e7)
        };
        let place = inside(latitude, 90.0).zip(inside(longitude, 180.0)).filter(|_| fixed);
        self.place = place.map(|(latitude, longitude)| Position {
            latitude,
            longitude,
            altitude_m: self.altitude_m,
            accuracy_m: self.accuracy_m,
        });
        if self.place.is_none() {
            (self.accuracy_m, self.altitude_m) = (None, None);
        }
        self.place
    }

    /// The position after the last sentence; `None` without a fix.
    pub fn now(&self) -> Option<Position> {
        self.place
    }
}

/// The latest position of a receiver that is read in a thread of its own.
#[derive(Clone, Debug, Default)]
pub struct Latest {
    held: Arc<Mutex<Held>>,
}

#[derive(Debug, Default)]
struct Held {
    position: Option<Position>,
    at: Option<Instant>,
    ended: Option<String>,
}

/// An older position says nothing of where a walker is now.
const STALE: Duration = Duration::from_secs(5);

impl Latest {
    /// Reads sentences from `input` until it ends, in a thread of its own.
    pub fn follow(input: impl Read + Send + 'static) -> Self {
        let latest = Self::default();
        let writer = latest.clone();
        std::thread::spawn(move || {
            let ended = writer.read_all(input);
            let mut held = writer.lock();
            held.position = None;
            held.ended =
                Some(ended.map_or_else(
                    |e| e.to_string(),
                    |()| "the receiver's sentences ended".to_owned(),
                ));
        });
        latest
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Held> {
        // A position is replaced as a whole: a thread that panicked cannot have left half of one.
        self.held.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    fn read_all(&self, input: impl Read) -> io::Result<()> {
        let mut receiver = Receiver::default();
        let mut input = BufReader::new(input);
        let mut line = Vec::new();
        loop {
            line.clear();
            match (&mut input).take(LONGEST as u64).read_until(b'\n', &mut line) {
                Ok(0) => return Ok(()),
                Ok(_) => {}
                // A port that is silent for a while has not ended.
                Err(e)
                    if matches!(
                        e.kind(),
                        io::ErrorKind::TimedOut
                            | io::ErrorKind::WouldBlock
                            | io::ErrorKind::Interrupted
                    ) =>
                {
                    continue;
                }
                Err(e) => return Err(e),
            }
            receiver.take(&String::from_utf8_lossy(&line));
            let mut held = self.lock();
            held.position = receiver.now();
            held.at = Some(Instant::now());
        }
    }

    /// Where the receiver is now; `None` without a fresh fix.
    pub fn now(&self) -> Option<Position> {
        let held = self.lock();
        held.position.filter(|_| held.at.is_some_and(|at| at.elapsed() < STALE))
    }

    /// Why no more sentences come; `None` while they do.
    pub fn ended(&self) -> Option<String> {
        self.lock().ended.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with_checksum(body: &str) -> String {
        format!("${body}*{:02X}", body.bytes().fold(0, |sum, b| sum ^ b))
    }

    #[test]
    fn published_sentences_give_their_place() {
        // From the `nmea` crate's documentation: 53°21.6802' N, 6°30.3372' W, HDOP 1.03, 61.7 m.
        let mut r = Receiver::default();
        let p = r
            .take("$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76")
            .unwrap();
        assert!(
            (p.latitude - (53.0 + 21.6802 / 60.0)).abs() < 1e-7
                && (p.longitude + 6.0 + 30.3372 / 60.0).abs() < 1e-7
        );
        assert!(
            (p.altitude_m.unwrap() - 61.7).abs() < 0.01
                && (p.accuracy_m.unwrap() - 5.2).abs() < 0.11
        );
        let p = r
            .take("$GPRMC,092750.000,A,5321.6802,N,00630.3372,W,0.02,31.66,280511,,,A*43")
            .unwrap();
        assert!((p.latitude - 53.361_336_7).abs() < 1e-6);
    }

    #[test]
    fn a_lost_fix_forgets_the_place_even_if_the_sentence_still_carries_it() {
        let mut r = Receiver::default();
        r.take("$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76");
        r.take(&with_checksum("GPRMC,092751.000,V,5321.6802,N,00630.3372,W,0.02,31.66,280511,,,N"));
        assert_eq!(r.now(), None);
        assert_eq!(
            r.take(&with_checksum(
                "GPGGA,092752.000,5321.6802,N,00630.3372,W,0,8,1.03,61.7,M,55.2,M,,"
            )),
            None
        );
    }

    #[test]
    fn impossible_places_and_wrong_checksums_are_refused() {
        let mut r = Receiver::default();
        assert_eq!(
            r.take(&with_checksum(
                "GPGGA,092750.000,9921.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,"
            )),
            None
        );
        assert_eq!(
            r.take("$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*77"),
            None
        );
        assert_eq!(r.take("AT+CSQ"), None);
        assert_eq!(r.refused, 2);
    }

    #[test]
    fn the_receivers_own_accuracy_goes_before_the_guess() {
        let mut r = Receiver::default();
        r.take(&with_checksum("GPGST,092750.00,1.1,,,,3.0,4.0,8.0"));
        let p = r
            .take("$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76")
            .unwrap();
        assert_eq!(p.accuracy_m, Some(5.0));
    }

    #[test]
    fn a_receiver_that_ends_leaves_no_place_behind() {
        let latest = Latest::follow(
            &b"$GPGGA,092750.000,5321.6802,N,00630.3372,W,1,8,1.03,61.7,M,55.2,M,,*76\r\n"[..],
        );
        let until = Instant::now() + Duration::from_secs(5);
        while latest.ended().is_none() && Instant::now() < until {
            std::thread::sleep(Duration::from_millis(2));
        }
        assert!(latest.ended().is_some());
        assert_eq!(latest.now(), None);
    }

    proptest::proptest! {
        #[test]
        fn no_text_whatever_gives_an_impossible_place(text in "\\PC{0,100}") {
            let mut r = Receiver::default();
            if let Some(p) = r.take(&text) {
                proptest::prop_assert!(p.latitude.abs() <= 90.0 && p.longitude.abs() <= 180.0);
            }
        }
    }
}
