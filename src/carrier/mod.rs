//! Carrier profiles: what a carrier wants of a card, a modem and its settings.
//!
//! Profiles are TOML files, described in `carrier-profiles/README.md`: shipped ones, those of the
//! user's own directory, and those of a directory that is named; later ones of the same name take
//! the place of earlier ones. [`ProfileStore::load`] reads them, [`ProfileStore::rank`] says which fit a
//! card, [`lint::check`] what is wrong with them.

pub mod access_point_name;
pub mod import;
mod known;
pub mod lint;
mod load_error;
mod profile;
mod rank;
mod store;

pub use known::Known;
pub use load_error::LoadError;
pub use profile::{AccessPoint, Address, Authentication, Bands, Cards, Carrier, Limits, Roaming};
pub use rank::{Choice, Fit, Ranking, UnknownProfile};
pub use store::{Place, ProfileStore, StoredProfile};
