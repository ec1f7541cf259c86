//! What a site's modem, card and cell are, as a case tells: what failing sites may have in common.

use super::row::Row;
use crate::case::{Case, Cell, Quantity, Rat, Value};

/// The levels that a row keeps.
pub(super) const LEVELS: [Quantity; 7] = [
    Quantity::Rsrp,
    Quantity::Rsrq,
    Quantity::Sinr,
    Quantity::Rssi,
    Quantity::Rscp,
    Quantity::EcNo,
    Quantity::Rxlev,
];

/// The attributes that a case can have, in the order of the columns of a table.
pub const NAMES: [&str; 10] = [
    "network",
    "area",
    "cell",
    "band",
    "technology",
    "model",
    "firmware",
    "profile",
    "access-point-name",
    "card-range",
];

/// So many digits of a card's number are its range: issuer and batch, not the card itself (ITU-T E.118: the
/// issuer takes at most seven; that the next four are a batch is common practice, no source).
const CARD_RANGE: usize = 11;

/// Notes attributes and levels in a row. `shown` makes a word of the text safe to show.
pub(super) fn add(case: &Case, shown: impl Fn(&str) -> String, row: &mut Row) {
    let mut note = |name: &str, word: Option<String>| {
        if let Some(word) = word.map(|w| shown(w.trim())).filter(|w| !w.is_empty()) {
            row.attributes.insert(name.into(), word);
        }
    };
    let technology = technology(case);
    note("network", network(case));
    note("area", word(case, Quantity::TacHex));
    note("cell", number(case, Quantity::CellId));
    note(
        "band",
        number(case, Quantity::Band).map(|n| match technology {
            Some(rat) => format!("{} {n}", rat.name()),
            None => n,
        }),
    );
    note("technology", technology.map(|rat| rat.name().into()));
    let latest = |history: &crate::case::History<String>| history.latest().map(|o| o.value.clone());
    note("model", latest(&case.device.model));
    note("firmware", latest(&case.device.firmware));
    note("profile", latest(&case.device.operator_profile));
    note("access-point-name", access_point_name(case));
    if let Some(range) = card_range(case) {
        // A prefix of this length names no card, so it is shown although whole numbers are not.
        row.attributes.insert("card-range".into(), range);
    }
    for quantity in LEVELS {
        if let Some((Some(value), _)) = case.level(quantity) {
            row.levels.insert(quantity.name().into(), value);
        }
    }
}

/// The latest word of a quantity on the serving cell.
fn word(case: &Case, quantity: Quantity) -> Option<String> {
    let mut readings = case.radio.readings.current().iter().rev().map(|o| &o.value);
    readings.find_map(|r| match &r.value {
        Value::Word(word) if r.quantity == quantity && r.cell == Cell::Serving => {
            Some(word.to_string())
        }
        _ => None,
    })
}

/// The latest whole number of a quantity on the serving cell.
fn number(case: &Case, quantity: Quantity) -> Option<String> {
    case.level(quantity)?.0.map(|n| format!("{n:.0}"))
}

/// The network that the modem is on, by its code, else by its name.
pub(crate) fn network(case: &Case) -> Option<String> {
    let code = word(case, Quantity::Mcc).zip(word(case, Quantity::Mnc));
    code.map(|(country, network)| country + &network).or_else(|| {
        let operator = case.registration.operator.latest()?;
        operator.value.name.clone()
    })
}

fn technology(case: &Case) -> Option<Rat> {
    if let Some(rat) = case.radio.technology.latest() {
        return Some(rat.value);
    }
    let states = case.registration.states.values().filter_map(|h| h.latest());
    let registered = states.filter(|o| matches!(o.value.stat, 1 | 5)).max_by_key(|o| o.order);
    registered.and_then(|o| o.value.act).and_then(Rat::from_act)
}

/// The name on the context of the attach, else on the first context that has one.
fn access_point_name(case: &Case) -> Option<String> {
    let contexts = &case.sessions.contexts;
    let name = |cid: &u8| contexts.get(cid)?.latest().map(|o| o.value.apn.to_string());
    let attach = case.sessions.attach_context.latest().map(|o| o.value);
    attach
        .and_then(|cid| name(&cid))
        .or_else(|| contexts.keys().find_map(|cid| name(cid).filter(|n| !n.trim().is_empty())))
        .or_else(|| word(case, Quantity::Apn))
}

fn card_range(case: &Case) -> Option<String> {
    let digits = &case.card.iccid.latest()?.value;
    // A shorter number is cut off; its beginning could be all of it.
    (digits.len() >= 18).then(|| digits.get(..CARD_RANGE).map(Into::into)).flatten()
}
