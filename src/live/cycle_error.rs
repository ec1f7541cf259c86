//! Why a fresh attach was not made, or not finished.

use crate::at::ClientError;

/// The command that switches the radio on.
pub const RADIO_ON: &str = "AT+CFUN=1";

/// Why a fresh attach was not made, or not finished.
#[derive(Debug, thiserror::Error)]
pub enum CycleError {
    /// The radio is on, or as it was before.
    #[error(transparent)]
    Line(#[from] ClientError),
    /// The radio may be off, and could not be switched on.
    #[error("THE RADIO MAY BE OFF and could not be switched on ({0}): send {RADIO_ON} by hand")]
    RadioOff(ClientError),
    /// The modem answers, and its radio stays off.
    #[error(
        "THE RADIO IS OFF: its functionality level stays {0} behind {RADIO_ON}; send {RADIO_ON} again, or switch the supply off and on"
    )]
    StaysOff(u8),
    /// Another modem is on the line now.
    #[error(
        "THE RADIO OF THE MODEM MAY BE OFF, and another modem is on the line now: send {RADIO_ON} to the first one by hand"
    )]
    OtherModem,
    /// Another modem came onto the line before anything was switched.
    #[error("another modem is on the line now, so no radio was switched")]
    NotTheModem,
    /// The journal could not be written, so nothing was switched.
    #[error("the journal could not be written ({0}), so the radio was not switched off")]
    Journal(std::io::Error),
    /// It was not on before, so it is left as it was.
    #[error("the radio was not on before (functionality level {0}), so it was not switched")]
    WasOff(u8),
    /// Whether it is on could not be read.
    #[error("whether the radio is on could not be read, so it was not switched")]
    Unreadable,
}
