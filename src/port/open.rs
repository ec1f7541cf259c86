//! Opening a line by its name: a serial port, an address, a command.

use super::line::{OpenError, Port};
use super::{child, serial, tcp};

/// Opens `tcp://host:port`, a serial port by its path, or, with `via`, a command whose standard
/// streams lead to the modem.
///
/// # Errors
///
/// [`OpenError`]: one variant for each thing that the installer can act on.
pub fn open(name: &str, baud: u32, via: Option<&str>) -> Result<Box<dyn Port>, OpenError> {
    if let Some(command) = via {
        return child::Child::start(command)
            .map(|c| Box::new(c) as Box<dyn Port>)
            .map_err(|e| OpenError::Other(command.to_owned(), e.to_string()));
    }
    if let Some(address) = name.strip_prefix("tcp://") {
        return tcp::Tcp::connect(address)
            .map(|t| Box::new(t) as Box<dyn Port>)
            .map_err(|e| OpenError::Other(name.to_owned(), e.to_string()));
    }
    serial::Serial::open(name, baud).map(|s| Box::new(s) as Box<dyn Port>)
}
