//! Which modem and which card a dialogue is with, as keyed hashes that a file may hold.
//!
//! A change and its undo are made at the modem that they were planned for. Each number is read until
//! two reads in a row agree, and an IMEI has its check digit (TS 23.003 annex B).

use super::agreed::agreed;
use super::values::values;
use crate::at::{Client, ClientError, CommandResponse};
use crate::case::Case;
use hmac::{Hmac, KeyInit, Mac};
use serde::{Deserialize, Serialize};
use sha2::Sha256;
use std::io::{self, Write};
use std::path::Path;

/// A key of this user's own: with it a file shows no number, and two files show whether the number
/// is the same.
#[derive(Clone)]
pub struct Key([u8; 32]);

impl Key {
    /// The key in a folder; made where there is none.
    ///
    /// # Errors
    ///
    /// What the system says, or that the file is no key.
    pub fn in_folder(folder: &Path) -> io::Result<Self> {
        let path = folder.join("key");
        match std::fs::read(&path) {
            Ok(bytes) => {
                let key = bytes.try_into().map_err(|_| io::Error::other("the file is no key"))?;
                Ok(Self(key))
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let mut key = [0; 32];
                getrandom::fill(&mut key).map_err(|e| io::Error::other(e.to_string()))?;
                crate::private_file::create(&path)?.write_all(&key)?;
                Ok(Self(key))
            }
            Err(error) => Err(error),
        }
    }

    /// The keyed hash of a number, by its kind.
    fn hash(&self, kind: &str, number: &str) -> String {
        // Any length is a key for HMAC (RFC 2104 §2), so this cannot fail.
        let Ok(mut mac) = <Hmac<Sha256> as KeyInit>::new_from_slice(&self.0) else {
            return String::new();
        };
        mac.update(format!("{kind}:{number}").as_bytes());
        hex::encode(&mac.finalize().into_bytes()[..16])
    }
}

/// A modem and its card; a number that the modem does not give is left out.
#[derive(Clone, Debug, Default, Serialize, Deserialize, PartialEq, Eq)]
#[serde(default)]
pub struct ModemIdentity {
    /// The model, as the modem prints it.
    pub model: Option<String>,
    /// Keyed hash of the IMEI.
    pub imei: Option<String>,
    /// Keyed hash of the card's number (ICCID).
    pub iccid: Option<String>,
    /// Keyed hash of the subscriber identity (IMSI).
    pub imsi: Option<String>,
}

/// How two identities compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Match {
    /// The same modem, and the same card where both are known.
    Same,
    /// Another modem.
    OtherModem,
    /// The same modem with another card.
    OtherCard,
    /// It cannot be told.
    Unknown,
}

impl ModemIdentity {
    /// Asks the modem.
    ///
    /// # Errors
    ///
    /// As the line.
    pub fn read(client: &mut Client<'_>, key: &Key) -> Result<Self, ClientError> {
        let latest = |h: &crate::case::History<String>| h.latest().map(|o| o.value.clone());
        let model = one(client, &["AT+CGMM"], |case| latest(&case.device.model))?;
        let imei = one(client, &["AT+CGSN"], |case| {
            latest(&case.device.imei)
                .filter(|d| crate::identity::Imei::read(d).is_ok_and(|imei| imei.is_right()))
        })?;
        let iccid =
            one(client, &["AT+CCID", "AT+ICCID", "AT+QCCID"], |case| latest(&case.card.iccid))?;
        let imsi = one(client, &["AT+CIMI"], |case| latest(&case.card.imsi))?;
        let hash = |kind: &str, number: Option<String>| number.map(|n| key.hash(kind, &n));
        Ok(Self {
            model,
            imei: hash("imei", imei),
            iccid: hash("iccid", iccid),
            imsi: hash("imsi", imsi),
        })
    }

    /// Compares what a file names with the modem on the line.
    pub fn compare(&self, there: &Self) -> Match {
        let differ = |a: &Option<String>, b: &Option<String>| {
            a.as_ref().zip(b.as_ref()).map(|(a, b)| a != b)
        };
        match differ(&self.imei, &there.imei) {
            Some(true) => return Match::OtherModem,
            None => return Match::Unknown,
            Some(false) => {}
        }
        let cards = [differ(&self.iccid, &there.iccid), differ(&self.imsi, &there.imsi)];
        if cards.contains(&Some(true)) { Match::OtherCard } else { Match::Same }
    }
}

/// A value that two reads in a row agree on; of several commands the first that is answered.
fn one(
    client: &mut Client<'_>,
    commands: &[&str],
    value: impl Fn(&Case) -> Option<String>,
) -> Result<Option<String>, ClientError> {
    for command in commands {
        let own = |response: &CommandResponse| {
            if response.is_ok() { value(&values(command, response)) } else { None }
        };
        if let Some(found) = agreed(client, command, own)? {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_made_once_and_tells_numbers_apart() {
        let folder = tempfile::tempdir().unwrap();
        let key = Key::in_folder(folder.path()).unwrap();
        let again = Key::in_folder(folder.path()).unwrap();
        let hash = key.hash("imei", "004999010640000");
        assert_eq!(hash, again.hash("imei", "004999010640000"));
        assert_ne!(hash, key.hash("imei", "004999010640018"));
        assert_ne!(hash, key.hash("imsi", "004999010640000"));
        assert!(!hash.contains("0049"));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(folder.path().join("key")).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
    }

    #[test]
    fn an_unknown_modem_is_never_the_same() {
        let known = |imei: &str, iccid: Option<&str>| ModemIdentity {
            imei: Some(imei.into()),
            iccid: iccid.map(Into::into),
            ..ModemIdentity::default()
        };
        assert_eq!(known("a", None).compare(&known("a", None)), Match::Same);
        assert_eq!(known("a", Some("1")).compare(&known("a", None)), Match::Same);
        assert_eq!(known("a", Some("1")).compare(&known("a", Some("2"))), Match::OtherCard);
        assert_eq!(known("a", None).compare(&known("b", None)), Match::OtherModem);
        assert_eq!(known("a", None).compare(&ModemIdentity::default()), Match::Unknown);
    }
}
