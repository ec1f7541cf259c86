//! What a host program or system says of its port, its modem or its link.
//!
//! Common practice, no source: the wordings are those that turn up in pasted logs.

use super::keywords::{Readings, readings};
use crate::case::{Fact, Facts, Host, Sim};
use crate::span::Span;

/// Words of a host program or system that stand together in a line, and what they say.
pub(super) const HOST: &[(&[&str], Fact)] = &[
    (&["permission denied", "tty"], Fact::Host(Host::PortDenied)),
    (&["permission denied", "com"], Fact::Host(Host::PortDenied)),
    (&["permissionerror"], Fact::Host(Host::PortDenied)),
    (&["access is denied", "com"], Fact::Host(Host::PortDenied)),
    (&["permission denied", "cdc-wdm"], Fact::Host(Host::PortDenied)),
    (&["device or resource busy"], Fact::Host(Host::PortBusy)),
    (&["resource temporarily unavailable", "tty"], Fact::Host(Host::PortBusy)),
    (&["could not exclusively lock"], Fact::Host(Host::PortBusy)),
    (&["is locked", "tty"], Fact::Host(Host::PortBusy)),
    (&["port is already open"], Fact::Host(Host::PortBusy)),
    (&["device is locked"], Fact::Host(Host::PortBusy)),
    (&["port busy", "serial"], Fact::Host(Host::PortBusy)),
    // The columns of fuser and lsof: a process that holds the port open.
    (&["/dev/tty", " f...."], Fact::Host(Host::PortBusy)),
    (&["/dev/tty", " chr ", "188,"], Fact::Host(Host::PortBusy)),
    (&["/dev/tty", " chr ", "166,"], Fact::Host(Host::PortBusy)),
    (&["no such file or directory", "/dev/tty"], Fact::Host(Host::NoModem)),
    (&["no such device", "tty"], Fact::Host(Host::NoModem)),
    (&["doesn't exist", "/dev/tty"], Fact::Host(Host::NoModem)),
    (&["does not exist", "/dev/tty"], Fact::Host(Host::NoModem)),
    (&["no modems were found"], Fact::Host(Host::NoModem)),
    (&["no modem found"], Fact::Host(Host::NoModem)),
    (&["unable to enumerate usb device"], Fact::Host(Host::NoModem)),
    (&["could not open port", "filenotfounderror"], Fact::Host(Host::NoModem)),
    (&["$gpgga"], Fact::Host(Host::NotAt)),
    (&["$gngga"], Fact::Host(Host::NotAt)),
    (&["$gprmc"], Fact::Host(Host::NotAt)),
    (&["$gnrmc"], Fact::Host(Host::NotAt)),
    (&["no response from"], Fact::Host(Host::Silent)),
    (&["timeout waiting"], Fact::Host(Host::Silent)),
    (&["timed out waiting"], Fact::Host(Host::Silent)),
    (&["read timed out"], Fact::Host(Host::Silent)),
    (&["read timeout"], Fact::Host(Host::Silent)),
    (&["response timeout"], Fact::Host(Host::Silent)),
    (&["command timed out"], Fact::Host(Host::Silent)),
    (&["no reply from"], Fact::Host(Host::Silent)),
    (&["modem not responding"], Fact::Host(Host::SaidSilent)),
    (&["not responding", "modem"], Fact::Host(Host::SaidSilent)),
    (&["expect ("], Fact::Host(Host::Silent)),
    // An interpreter that read nothing.
    (&["b''"], Fact::Host(Host::Silent)),
    (&["no route to host"], Fact::Traffic(false)),
    (&["network is unreachable"], Fact::Traffic(false)),
    (&["destination host unreachable"], Fact::Traffic(false)),
    (&[", 100% packet loss"], Fact::Traffic(false)),
    (&[" 0% packet loss"], Fact::Traffic(true)),
    (&["could not resolve host"], Fact::Traffic(false)),
    (&["temporary failure in name resolution"], Fact::Traffic(false)),
    (&["usb disconnect"], Fact::Host(Host::Gone)),
    (&["sim_absent"], Fact::Sim(Sim::NotInserted)),
    (&["sim-missing"], Fact::Sim(Sim::NotInserted)),
    (&["sim not inserted"], Fact::Sim(Sim::NotInserted)),
    (&["sim missing"], Fact::Sim(Sim::NotInserted)),
    (&["sim not detected"], Fact::Sim(Sim::NotInserted)),
    (&["simstatus: absent"], Fact::Sim(Sim::NotInserted)),
    (&["sim_pin_required"], Fact::Sim(Sim::PinRequired)),
];

/// The rows of [`HOST`] whose words all stand in a line.
fn host_rows(
    found: Readings,
    lower: &str,
) -> impl Iterator<Item = &'static (&'static [&'static str], Fact)> {
    let possible = HOST.iter().enumerate().filter(move |(n, _)| found.holds(Readings::host(*n)));
    possible.map(|(_, row)| row).filter(|(words, _)| words.iter().all(|w| lower.contains(w)))
}

/// Whether a line says that an answer was awaited and none came.
pub(crate) fn is_silence(line: &str) -> bool {
    let found = readings(line);
    found.of_host()
        && host_rows(found, &line.to_ascii_lowercase())
            .any(|(_, fact)| matches!(fact, Fact::Host(Host::Silent | Host::SaidSilent)))
}

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(found: Readings, lower: &str, base: usize, facts: &mut Facts) {
    if let Some((words, fact)) = host_rows(found, lower).next() {
        let at = lower.find(words[0]).unwrap_or(0);
        facts.push(fact.clone(), Span::new(base + at, base + at + words[0].len()));
    }
}
