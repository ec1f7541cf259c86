//! The simulated card: its state, its files, and what `+CRSM` reads and writes of them.

use super::modem::Modem;
use super::response;
use super::scenario::CardState;
use crate::response::fields;

/// `None` for a plain error.
pub(super) type Refused = Option<u16>;

/// The card's own error, where it is not ready.
pub(super) fn card(modem: &Modem) -> Result<(), Refused> {
    if modem.now < modem.busy_until {
        return Err(Some(14));
    }
    match modem.settings.card {
        CardState::Ready => Ok(()),
        CardState::Pin => Err(Some(11)),
        CardState::Puk => Err(Some(12)),
        CardState::None => Err(Some(10)),
        CardState::Busy => Err(Some(14)),
        CardState::Failure => Err(Some(13)),
    }
}

/// `+CRSM`: reading a file, and writing the list of forbidden networks.
pub(super) fn restricted(modem: &mut Modem, sent: &str) -> Result<Vec<String>, Refused> {
    card(modem)?;
    let row = fields(sent, 0);
    let fields: Vec<&str> = row.iter().map(|f| f.text).collect();
    let reply = |hex: String| Ok(vec![response::card_file([144, 0], Some(hex))]);
    match (fields.first().copied(), fields.get(1).copied()) {
        (Some("176"), Some("28539")) => {
            let mut hex: String = modem
                .settings
                .forbidden
                .iter()
                .filter_map(|code| crate::identity::Plmn::read(code).ok())
                .map(|p| p.hex())
                .collect();
            while hex.len() < 24 {
                hex.push('F');
            }
            reply(hex)
        }
        (Some("176"), Some("28589")) => reply("00000002".into()),
        (Some("176"), Some("28478")) if !modem.scenario.card.group.is_empty() => {
            reply(modem.scenario.card.group.clone())
        }
        (Some("176"), Some("28486")) if !modem.scenario.card.provider.is_empty() => {
            let name: String =
                modem.scenario.card.provider.bytes().map(|b| format!("{b:02X}")).collect();
            reply(format!("00{name:F<32}"))
        }
        (Some("214"), Some("28539")) => {
            let hex = fields.last().copied().unwrap_or_default();
            let bytes: Vec<u8> = (0..hex.len() / 2)
                .filter_map(|i| u8::from_str_radix(hex.get(i * 2..i * 2 + 2)?, 16).ok())
                .collect();
            modem.settings.forbidden = bytes
                .chunks_exact(3)
                .filter_map(crate::identity::Plmn::of_bytes)
                .map(|p| p.digits())
                .collect();
            modem.attach();
            Ok(vec![response::card_file([144, 0], None)])
        }
        (Some("176"), _) => Ok(vec![response::card_file([106, 130], None)]),
        _ => Err(Some(3)),
    }
}
