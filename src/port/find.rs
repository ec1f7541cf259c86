//! Finding ports that may be a modem, and what speaks there.

use super::holders::holders;
use super::line::OpenError;
use super::open::open;
use serialport::SerialPortInfo;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

/// A port that may be a modem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// Its path or name.
    pub path: String,
    /// What is known of it: USB vendor, product, interface.
    pub about: String,
    /// The USB device that it belongs to: vendor, product and serial number; the same over replugging.
    pub usb: Option<String>,
}

/// What a port turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Speaks {
    /// It answers AT.
    At,
    /// Position sentences.
    Positions,
    /// Something else.
    Other,
    /// Nothing within the time.
    Silent,
    /// Another program holds it.
    Busy(String),
    /// No permission.
    Denied,
    /// It cannot be opened for another reason.
    Closed(String),
}

/// The ports of this computer that may be a modem, in order.
pub fn candidates() -> Vec<Candidate> {
    listing().0
}

/// The same, and why the system's own list is missing from them.
pub fn listing() -> (Vec<Candidate>, Option<String>) {
    let names = std::fs::read_dir("/dev").into_iter().flatten().flatten();
    let names = names.map(|entry| entry.file_name().to_string_lossy().into_owned());
    found(listed(), names)
}

/// What the system lists.
fn listed() -> serialport::Result<Vec<SerialPortInfo>> {
    // The listing panics where the class of terminals is missing altogether.
    if cfg!(target_os = "linux") && !Path::new("/sys/class/tty").is_dir() {
        return Ok(Vec::new());
    }
    serialport::available_ports()
}

/// The ports among those listed and among the names of devices.
fn found(
    listed: serialport::Result<Vec<SerialPortInfo>>,
    devices: impl Iterator<Item = String>,
) -> (Vec<Candidate>, Option<String>) {
    let mut found: BTreeMap<String, (String, Option<String>)> = BTreeMap::new();
    let problem = listed.as_ref().err().map(ToString::to_string);
    for port in listed.unwrap_or_default() {
        let mut device = None;
        let about = match port.port_type {
            serialport::SerialPortType::UsbPort(usb) => {
                let serial = usb.serial_number.as_deref().unwrap_or("");
                device = Some(
                    format!("usb:{:04x}:{:04x}:{serial}", usb.vid, usb.pid)
                        .trim_end_matches(':')
                        .to_owned(),
                );
                let name = usb.product.unwrap_or_default();
                let interface =
                    usb.interface.map_or_else(String::new, |i| format!(", interface {i}"));
                format!("USB {:04x}:{:04x}{interface} {name}", usb.vid, usb.pid).trim().to_owned()
            }
            serialport::SerialPortType::BluetoothPort => "Bluetooth".into(),
            serialport::SerialPortType::PciPort => "PCI".into(),
            serialport::SerialPortType::Unknown => String::new(),
        };
        found.insert(port.port_name, (about, device));
    }
    // Names under which modems stand that the listing leaves out.
    let names = ["ttyUSB", "ttyACM", "ttyAMA", "ttyHS", "ttymxc", "wwan", "cdc-wdm"];
    for name in devices {
        let at_port = name.starts_with("wwan") && name.contains("at")
            || !name.starts_with("wwan") && !name.starts_with("cdc-wdm");
        if names.iter().any(|n| name.starts_with(n)) && at_port {
            found.entry(format!("/dev/{name}")).or_default();
        }
    }
    let found = found.into_iter().map(|(path, (about, usb))| Candidate { path, about, usb });
    (found.collect(), problem)
}

/// What tells one USB serial port from another, whatever its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Identity {
    vendor: u16,
    product: u16,
    serial: Option<String>,
    interface: Option<u8>,
}

/// The USB ports of this computer with their names.
fn usb_ports() -> Vec<(String, Identity)> {
    // A port is looked for again until it is back, so a list that fails once is no answer.
    let ports = listed().unwrap_or_default().into_iter();
    ports
        .filter_map(|port| match port.port_type {
            serialport::SerialPortType::UsbPort(usb) => Some((
                port.port_name,
                Identity {
                    vendor: usb.vid,
                    product: usb.pid,
                    serial: usb.serial_number,
                    interface: usb.interface,
                },
            )),
            _ => None,
        })
        .collect()
}

/// The identity of a port; `None` where it is none of USB, or its device names no interface.
pub(super) fn identity(path: &str) -> Option<Identity> {
    // A link that udev made leads to the name that the listing has.
    let own = std::fs::canonicalize(path).map_or(path.into(), |p| p.to_string_lossy().into_owned());
    usb_ports()
        .into_iter()
        .find_map(|(name, identity)| (name == own).then_some(identity))
        .filter(|identity| identity.interface.is_some())
}

/// The name that a port of this identity has now.
pub(super) fn path_of(wanted: &Identity) -> Option<String> {
    usb_ports().into_iter().find_map(|(name, identity)| (identity == *wanted).then_some(name))
}

/// Opens a port, asks `AT`, and says what speaks there. A port that another program has open is left
/// alone, whether or not it is locked. Results as numbers count (V.250 §6.2.6).
pub fn probe(path: &str, baud: u32, wait: Duration) -> Speaks {
    // Whoever makes a pseudo-terminal has it open, too.
    let pseudo = std::fs::canonicalize(path).is_ok_and(|p| p.starts_with("/dev/pts"));
    let by = if pseudo { String::new() } else { holders(path) };
    if !by.is_empty() {
        return Speaks::Busy(by);
    }
    let mut port = match open(path, baud, None) {
        Ok(port) => port,
        Err(OpenError::Busy(_, by)) => return Speaks::Busy(by),
        Err(OpenError::Denied(_)) => return Speaks::Denied,
        Err(error) => return Speaks::Closed(error.to_string()),
    };
    let until = Instant::now() + wait;
    let mut heard = Vec::new();
    let mut buffer = [0; 1024];
    let mut asked = Instant::now().checked_sub(ASK_AGAIN);
    while Instant::now() < until && heard.len() < 4096 {
        if asked.is_none_or(|at| at.elapsed() >= ASK_AGAIN) {
            if let Err(error) = port.write(b"AT\r") {
                return Speaks::Closed(error.to_string());
            }
            asked = Some(Instant::now());
        }
        match port.read(&mut buffer, Duration::from_millis(100)) {
            Ok(n) => heard.extend_from_slice(&buffer[..n]),
            Err(error) => return Speaks::Closed(error.to_string()),
        }
        if is_at(&String::from_utf8_lossy(&heard)) {
            return Speaks::At;
        }
    }
    let text = String::from_utf8_lossy(&heard);
    let sentence = |l: &str| l.starts_with("$G") && l.contains(',') && l.contains('*');
    match heard.len() {
        0 => Speaks::Silent,
        _ if lines(&text).any(|l| sentence(l.trim())) => Speaks::Positions,
        // An echo alone is a line without a modem behind it.
        _ if lines(&text).all(|l| matches!(l.trim(), "AT" | "")) => Speaks::Silent,
        _ => Speaks::Other,
    }
}

/// `AT` is asked again after this: the first one wakes some modems, and is lost.
const ASK_AGAIN: Duration = Duration::from_millis(1300);

/// The lines of a text whose ends are carriage returns, line feeds or both.
fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.split(['\r', '\n'])
}

/// Whether a result code stands in what was heard: in words, or as the only number behind an echo.
fn is_at(text: &str) -> bool {
    let codes: Vec<&str> =
        lines(text).map(str::trim).filter(|l| !l.is_empty() && *l != "AT").collect();
    codes.iter().any(|l| matches!(*l, "OK" | "ERROR")) || codes.first() == Some(&"0")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_that_the_system_refuses_is_named_beside_the_names_of_devices() {
        let refused = serialport::Error::new(serialport::ErrorKind::Unknown, "no device manager");
        let names = ["ttyUSB2", "tty0", "wwan0at0"].map(str::to_owned);
        let (ports, problem) = found(Err(refused), names.into_iter());
        let paths: Vec<_> = ports.iter().map(|p| p.path.as_str()).collect();
        assert_eq!(paths, ["/dev/ttyUSB2", "/dev/wwan0at0"]);
        assert_eq!(problem.as_deref(), Some("no device manager"));
    }

    #[test]
    fn results_in_words_and_as_numbers_are_those_of_a_modem() {
        for text in ["AT\r\r\nOK\r\n", "\r\nOK\r\n", "AT\r0\r", "0\r", "RDY\r\nAT\rOK\r"] {
            assert!(is_at(text), "{text:?}");
        }
        for text in ["AT\r", "", "$GPGGA,0,0*00\r\n", "7 0\r\n"] {
            assert!(!is_at(text), "{text:?}");
        }
    }
}
