//! The information responses of the simulated modem, written by the structs that read a real one's.

use crate::case::{Domain, ScannedNetwork, Sim};
use crate::response::standard::address::Address;
use crate::response::standard::context::{Cgact, Cgauth, Cgcontrdp, Cgdcont, Cgpaddr};
use crate::response::standard::network::OneNumber;
use crate::response::standard::operator::{Cops, Search};
use crate::response::standard::registration::RegistrationResponse;
use crate::response::standard::signal::{Cesq, Csq};
use crate::response::standard::sim::{Cpin, Cpinr, Crsm};

/// A response of one number, `+CGATT: 1`.
pub(super) fn number(prefix: &'static str, value: u8) -> String {
    OneNumber { prefix, value: value.into() }.to_string()
}

/// `+CSQ` of a total power that goes with a level over 50 resource blocks.
pub(super) fn strength_of(rsrp_dbm: f64) -> String {
    strength(index("csq", crate::reference::radio::rssi_dbm(rsrp_dbm, -10.8, 50)))
}

/// `+CSQ` without a value.
pub(super) fn no_strength() -> String {
    strength(99)
}

fn strength(rssi: u8) -> String {
    Csq { rssi: rssi.into(), ber: Some(99.into()) }.to_string()
}

/// `+CESQ` on E-UTRA: quality and level.
pub(super) fn levels_of(rsrq_db: f64, rsrp_dbm: f64) -> String {
    levels(index("rsrq", rsrq_db), index("rsrp", rsrp_dbm))
}

/// `+CESQ` without a value.
pub(super) fn no_levels() -> String {
    levels(255, 255)
}

fn levels(rsrq: u8, rsrp: u8) -> String {
    Cesq { indices: [99, 99, 255, 255, rsrq, rsrp].map(Into::into), nr: None }.to_string()
}

/// The index of a level on the scale of this name.
fn index(scale: &str, level: f64) -> u8 {
    let index = crate::reference::index::map(scale).map(|map| map.index_of(level));
    index.and_then(|index| index.try_into().ok()).unwrap_or(u8::MAX)
}

/// A registration status in the read form, with the cell where it is served, and the cause of a refusal.
pub(super) fn registration(
    domain: Domain,
    mode: u8,
    stat: u8,
    served: bool,
    cause: Option<u8>,
) -> String {
    RegistrationResponse {
        domain,
        mode: Some(mode.into()),
        stat: stat.into(),
        area: served.then(|| compact_str::CompactString::from("0A11").into()),
        cell: served.then(|| compact_str::CompactString::from("0003A2B1").into()),
        act: served.then(|| 7.into()),
        cause: cause.map(Into::into),
    }
    .to_string()
}

/// `+COPS?`: how the network is chosen, and its code where the modem is on one.
pub(super) fn operator(mode: u8, code: Option<&str>) -> String {
    let operator = code.map(|code| (2.into(), compact_str::CompactString::from(code).into()));
    Cops { mode: mode.into(), act: operator.is_some().then(|| 7.into()), operator }.to_string()
}

/// `+COPS=?`: the networks that are heard.
pub(super) fn search(codes: &[&str]) -> String {
    let network = |code: &&str| ScannedNetwork {
        stat: 1,
        plmn: (*code).to_owned(),
        name: "Ember Mobile".into(),
        act: Some(7),
    };
    let networks: Vec<_> = codes.iter().map(network).collect();
    Search { networks, complete: true }.to_string()
}

/// A stored context.
pub(super) fn context(cid: u8, kind: &str, name: &str) -> String {
    let text = |t: &str| compact_str::CompactString::from(t).into();
    Cgdcont { cid: cid.into(), kind: text(kind), apn: text(name) }.to_string()
}

/// Whether a context is active.
pub(super) fn active(cid: u8, active: bool) -> String {
    Cgact { cid: cid.into(), state: u8::from(active).into() }.to_string()
}

/// The address of a context.
pub(super) fn address(cid: u8, address: &str) -> String {
    Cgpaddr { cid: cid.into(), addresses: [Some(given(address)), None] }.to_string()
}

/// What the network gave to a context.
pub(super) fn given_to(cid: u8, name: &str, address: &str) -> String {
    Cgcontrdp {
        cid: cid.into(),
        bearer: Some(5.into()),
        apn: Some(compact_str::CompactString::from(name).into()),
        address: Some(given(address)),
    }
    .to_string()
}

fn given(address: &str) -> crate::response::grammar::Spanned<Address> {
    Address { text: address.to_owned(), given: true }.into()
}

/// The authentication of a context: protocol and user name.
pub(super) fn authentication(cid: u8, login: Option<(u8, &str)>) -> String {
    Cgauth {
        cid: cid.into(),
        protocol: login.map_or(0, |(protocol, _)| protocol).into(),
        user: login.map(|(_, user)| compact_str::CompactString::from(user).into()),
    }
    .to_string()
}

/// `+CPIN`: the state of the card, where it has a code.
pub(super) fn card(state: Sim) -> Option<String> {
    Cpin::of(state).map(|cpin| cpin.to_string())
}

/// `+CPINR`: the attempts left for the PIN.
pub(super) fn attempts(left: u8) -> Option<String> {
    let code = Cpin::of(Sim::PinRequired)?.code;
    Some(Cpinr { code, retries: left.into(), default_retries: Some(3.into()) }.to_string())
}

/// `+CRSM`: the status bytes, and the data that were read.
pub(super) fn card_file(status: [u8; 2], data: Option<String>) -> String {
    Crsm { status: status.map(Into::into), data: data.map(Into::into) }.to_string()
}
