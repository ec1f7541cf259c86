//! Operating bands of all technologies, and their channel numbers.

pub mod eutra;
pub mod gsm;
pub mod mask;
pub mod name;
pub mod nr;
mod spectrum;
pub mod utra;

pub use eutra::{
    EutraBand, LteChannel, lte_band, lte_band_of_earfcn, lte_bands, lte_bands_overlapping,
    lte_channel, lte_duplex,
};
pub use name::BandName;
pub use nr::{NrBand, nr_band, nr_bands, nr_bands_of_arfcn, nr_duplex};
pub use spectrum::{Channels, Duplex, Edges, Link, mhz};
