//! The kernel's lines of a modem on its bus: it comes, goes, gets ports and drivers.
//!
//! ```text
//! usb 1-1.2: new high-speed USB device number 7 using …
//! option 1-1.2:1.0: GSM modem (1-port) converter detected
//! usb 1-1.2: GSM modem (1-port) converter now attached to ttyUSB0
//! usb 1-1.2: USB disconnect, device number 7
//! ```
//!
//! From the kernel's source (`drivers/usb/core/hub.c`, `drivers/usb/serial/usb-serial.c`, `drivers/net/usb`), 6.1.

use super::voice;
use crate::case::{Fact, Facts, Host, ReportedBy};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;
use std::collections::BTreeMap;

/// What is known of the devices on the bus so far.
#[derive(Debug, Default)]
pub(super) struct Bus {
    devices: BTreeMap<String, Device>,
}

#[derive(Debug, Default)]
struct Device {
    /// It is something else than a modem.
    other: bool,
    present: Option<bool>,
    serial_ports: usize,
    /// It shows the identifier of a boot loader.
    boot_loader: bool,
    /// Where a driver of another kind took an interface of it: a data interface, storage.
    other_driver: Option<Span>,
}

/// Whether a line has the identifier by which a module's boot loader announces itself instead of the modem: those of the
/// emergency download and the memory dump (from memory), or a product name that says so.
fn shows_boot_loader(lower: &str) -> bool {
    const IDENTIFIERS: [(&str, &str); 3] = [("05c6", "9008"), ("05c6", "900e"), ("8087", "0716")];
    let identified = IDENTIFIERS.iter().any(|(vendor, product)| {
        lower.contains(&format!("idvendor={vendor}"))
            && lower.contains(&format!("idproduct={product}"))
    });
    let named = lower.split_once("product: ").is_some_and(|(_, name)| {
        ["bootloader", "boot loader", "download", "dfu", "flash loader", "__bulk"]
            .iter()
            .any(|word| name.contains(word))
    });
    identified || named
}

impl Bus {
    /// Reads a line; whether it is one of the kernel's that speaks of a device on the bus.
    pub(super) fn read(&mut self, line: &str, base: usize, facts: &mut Facts) -> bool {
        if pcie(line, base, facts) {
            return true;
        }
        let Some(address) = voice::addressed(line) else { return self.is_port_of_known(line) };
        let from = address.as_ptr() as usize - line.as_ptr() as usize;
        let at = Span::new(base + from, base + line.trim_end().len());
        let lower = line.to_ascii_lowercase();
        let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
        let device = self.devices.entry(address.to_owned()).or_default();
        facts.said_by(ReportedBy::Host);
        if has(words_of(List::OtherDeviceKind)) {
            device.other = true;
        }
        if device.other {
            return true;
        }
        if shows_boot_loader(&lower) {
            device.boot_loader = true;
            facts.push(Fact::Host(Host::BootLoader), at);
            return true;
        }
        if has(&["usb disconnect"]) {
            device.present = Some(false);
            device.serial_ports = 0;
            device.other_driver = None;
            device.boot_loader = false;
            facts.push(Fact::Host(Host::Gone), at);
        } else if has(&["usb device number"]) && has(&["new "]) {
            device.present = Some(true);
            facts.push(Fact::Host(Host::Returned), at);
        } else if has(&["now attached to tty", "usb acm device"]) {
            device.serial_ports += 1;
            device.other_driver = None;
            if !device.boot_loader {
                facts.push(Fact::Host(Host::AtPort), at);
            }
        } else if has(&[
            "register 'qmi_wwan'",
            "register 'cdc_",
            "usb wdm device",
            "usb-storage",
            "register 'rndis",
        ]) && !has(&["unregister"])
        {
            device.other_driver.get_or_insert(at);
        } else if has(&[
            "not accepting address",
            "unable to enumerate",
            "device descriptor read",
            "connect-debounce failed",
        ]) {
            facts.push(Fact::Host(Host::NoModem), at);
        } else if has(&["over-current"]) {
            return false;
        }
        true
    }

    /// The serial ports of a device go with it: their own lines say nothing more, once the bus has spoken.
    fn is_port_of_known(&self, line: &str) -> bool {
        !self.devices.is_empty() && line.contains("now disconnected from tty")
    }

    /// Notes what the end of the text shows: a device that is on the bus without a serial port.
    pub(super) fn finish(&self, facts: &mut Facts) {
        let ported = self.devices.values().any(|device| device.serial_ports > 0);
        let bare =
            self.devices.values().filter(|d| d.present == Some(true)).find_map(|d| d.other_driver);
        if let Some(at) = bare.filter(|_| !ported) {
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Host(Host::NoAtPort), at);
        }
    }
}

/// A modem on PCI Express: its driver tells of a crash, its ports come and go (`drivers/bus/mhi`, `drivers/net/wwan`, 6.1).
fn pcie(line: &str, base: usize, facts: &mut Facts) -> bool {
    let lower = line.to_ascii_lowercase();
    let port = lower.contains(": port wwan");
    if !port && !lower.contains("mhi") && !lower.contains("firmware crash") {
        return false;
    }
    let ends = |words: &[&str]| words.iter().find_map(|w| Some((lower.find(w)?, w.len())));
    let found = ends(&["firmware crash", "device recovery started", "sys_err", "rddm"])
        .map(|place| (place, Host::Gone))
        .or_else(|| ends(&["recovery completed"]).map(|place| (place, Host::Returned)))
        .or_else(|| {
            ends(&["at0 attached", "at1 attached"]).filter(|_| port).map(|p| (p, Host::AtPort))
        });
    if let Some(((at, len), host)) = found {
        facts.said_by(ReportedBy::Host);
        // A recovery that follows its crash is no second one.
        if !lower.contains("recovery started") {
            facts.push(Fact::Host(host), Span::new(base + at, base + at + len));
        }
    }
    port || found.is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(lines: &[&str]) -> Vec<Host> {
        let (mut bus, mut facts) = (Bus::default(), Facts::default());
        for line in lines {
            assert!(bus.read(line, 0, &mut facts), "{line}");
        }
        bus.finish(&mut facts);
        let host = |fact| match fact {
            Fact::Host(host) => Some(host),
            _ => None,
        };
        facts.drain().filter_map(|(fact, _)| host(fact)).collect()
    }

    #[test]
    fn a_modem_that_leaves_and_returns() {
        let lines = [
            "[ 12.000001] usb 1-1: USB disconnect, device number 4",
            "[ 19.000001] usb 1-1: new high-speed USB device number 5 using xhci_hcd",
            "[ 19.100001] usb 1-1: GSM modem (1-port) converter now attached to ttyUSB0",
        ];
        assert_eq!(read(&lines), [Host::Gone, Host::Returned, Host::AtPort]);
        assert_eq!(read(&lines[..1]), [Host::Gone]);
    }

    #[test]
    fn a_data_interface_without_a_serial_port() {
        let lines = [
            "usb 2-1: new high-speed USB device number 3 using ehci-pci",
            "qmi_wwan 2-1:1.4: cdc-wdm0: USB WDM device",
        ];
        assert_eq!(read(&lines), [Host::Returned, Host::NoAtPort]);
    }

    #[test]
    fn a_modem_on_pci_express_that_crashes_and_recovers() {
        let lines = [
            "[ 95.710338] mhi-pci-generic 0001:01:00.0: firmware crashed (6)",
            "[ 95.810551] wwan wwan0: port wwan0at0 disconnected",
            "[ 95.912209] mhi-pci-generic 0001:01:00.0: device recovery started",
            "[ 108.105522] mhi-pci-generic 0001:01:00.0: Recovery completed",
            "[ 108.870598] wwan wwan0: port wwan0at0 attached",
        ];
        assert_eq!(read(&lines), [Host::Gone, Host::Returned, Host::AtPort]);
    }

    #[test]
    fn other_devices_are_no_modem() {
        let lines =
            ["usb 2-1: Product: Office Keyboard", "usb 2-1: USB disconnect, device number 3"];
        assert_eq!(read(&lines), []);
    }
}
