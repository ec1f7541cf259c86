//! The modems of this computer: which ports belong to which, and which of them answers.

use crate::at::{Client, ClientError};
use crate::identity::mask;
use crate::port::{self, Candidate, Recorder, Speaks};
use serde::Serialize;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// A modem that needs longer than this for its first answer is not found (common practice, no source).
const ANSWERS_WITHIN: Duration = Duration::from_secs(3);

/// A port and what speaks there.
#[derive(Clone, Debug)]
pub struct Probed {
    /// The port.
    pub candidate: Candidate,
    /// What speaks there.
    pub speaks: Speaks,
    /// Who speaks there, where it answers AT.
    pub modem: Option<ModemName>,
}

/// What a modem says of itself; the IMEI in full, for comparing only.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ModemName {
    /// Model.
    pub model: Option<String>,
    /// Firmware revision.
    pub firmware: Option<String>,
    /// IMEI, masked.
    pub imei: Option<String>,
    /// State of the card, as the modem prints it.
    pub card: Option<String>,
    /// IMEI in full.
    #[serde(skip)]
    pub imei_in_full: Option<String>,
}

/// Asks every candidate at once what speaks there, and those that answer who they are.
pub fn probe_all(candidates: Vec<Candidate>, baud: u32) -> Vec<Probed> {
    let runs: Vec<_> = candidates
        .into_iter()
        .map(|candidate| {
            std::thread::spawn(move || {
                let speaks = port::probe(&candidate.path, baud, ANSWERS_WITHIN);
                let modem =
                    (speaks == Speaks::At).then(|| name(&candidate.path, baud).unwrap_or_default());
                Probed { candidate, speaks, modem }
            })
        })
        .collect();
    runs.into_iter().filter_map(|run| run.join().ok()).collect()
}

/// Asks a modem who it is; a port that cannot be opened again has no name.
fn name(path: &str, baud: u32) -> Option<ModemName> {
    let mut port = port::open(path, baud, None).ok()?;
    let stop = AtomicBool::new(false);
    let mut client = Client::new(port.as_mut(), Recorder::new(), &stop);
    let asked = ask(&mut client);
    client.restore();
    asked.ok()
}

fn ask(client: &mut Client<'_>) -> Result<ModemName, ClientError> {
    client.wake(false)?;
    for command in ["AT+CGMM", "AT+CGMR", "AT+CGSN"] {
        client.ask(command)?;
    }
    let card = client.ask("AT+CPIN?")?;
    let card = match &card.result {
        crate::at::ResultCode::Error(words) => Some(words.clone()),
        _ => card.value("+CPIN").map(str::to_owned),
    };
    let case = crate::case::Case::read(&crate::capture::Capture::new(client.recorded()));
    let latest = |h: &crate::case::History<String>| h.latest().map(|o| o.value.clone());
    let imei = latest(&case.device.imei);
    Ok(ModemName {
        model: latest(&case.device.model),
        firmware: latest(&case.device.firmware),
        imei: imei.as_deref().map(|n| mask(n).into_owned()),
        card,
        imei_in_full: imei,
    })
}

/// Whether a name that a user gives, `usb:…` or `imei:…`, is that of a port's device or modem.
pub fn is_named(wanted: &str, probed: &Probed) -> bool {
    if let Some(imei) = wanted.strip_prefix("imei:") {
        let own = probed.modem.as_ref().and_then(|m| m.imei_in_full.as_deref());
        return own.is_some_and(|own| own == imei || imei.len() >= 4 && own.ends_with(imei));
    }
    probed.candidate.usb.as_deref().is_some_and(|usb| usb.eq_ignore_ascii_case(wanted))
}

/// The name that tells a modem from the others: its USB device, the last digits of its IMEI, or a port of it.
pub fn name_among(group: &[Probed], groups: &[Vec<Probed>]) -> Option<String> {
    let tells =
        |name: &String| groups.iter().filter(|g| g.iter().any(|p| is_named(name, p))).count() == 1;
    let usb = group.iter().find_map(|p| p.candidate.usb.clone());
    let imei = group.iter().find_map(|p| p.modem.as_ref()?.imei_in_full.as_deref());
    let last = imei.and_then(|n| n.get(n.len().checked_sub(4)?..)).map(|d| format!("imei:{d}"));
    let path = group.first().map(|p| p.candidate.path.clone());
    usb.into_iter().chain(last).find(tells).or(path)
}

/// Ports in groups of one modem: by USB device, then by IMEI.
pub fn by_modem(probed: Vec<Probed>) -> Vec<Vec<Probed>> {
    let mut groups: Vec<Vec<Probed>> = Vec::new();
    for one in probed {
        let same = |other: &Probed| {
            let usb = one.candidate.usb.is_some() && one.candidate.usb == other.candidate.usb;
            let imei = |p: &Probed| p.modem.as_ref().and_then(|m| m.imei_in_full.clone());
            usb || imei(&one).is_some() && imei(&one) == imei(other)
        };
        match groups.iter_mut().find(|group| group.iter().any(same)) {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;

    fn probed(path: &str, usb: Option<&str>, imei: Option<&str>) -> Probed {
        let name = imei.map(|imei| ModemName {
            model: Some("GW-40".into()),
            firmware: None,
            imei: Some(mask(imei).into_owned()),
            card: None,
            imei_in_full: Some(imei.into()),
        });
        let candidate =
            Candidate { path: path.into(), about: String::new(), usb: usb.map(Into::into) };
        Probed { candidate, speaks: Speaks::At, modem: name }
    }

    /// Two ports of one modem, two modems of one kind, one that gives no number.
    #[test]
    fn each_modem_has_a_name_that_is_no_others() {
        let serial = "usb:1209:0001:A7";
        let groups = by_modem(vec![
            probed("/dev/ttyUSB0", Some(serial), Some("004999010640000")),
            probed("/dev/ttyUSB1", None, Some("004999010640018")),
            probed("/dev/ttyUSB2", Some(serial), Some("004999010640000")),
            probed("/dev/ttyUSB3", Some("usb:1209:0002"), Some("004999010640026")),
            probed("/dev/ttyS0", None, None),
        ]);
        let names: Vec<_> = groups.iter().filter_map(|g| name_among(g, &groups)).collect();
        assert_eq!(names, [serial, "imei:0018", "usb:1209:0002", "/dev/ttyS0"]);
        for (name, group) in names.iter().zip(&groups).take(3) {
            let others = groups.iter().filter(|g| g.iter().any(|p| is_named(name, p))).count();
            assert!(others == 1 && group.iter().any(|p| is_named(name, p)), "{name}");
        }
        assert!(!is_named("imei:18", &groups[1][0]));
    }
}
