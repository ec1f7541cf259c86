//! The radio layer: whether a cell is heard, well enough, on allowed bands and technologies.

pub(super) mod antenna;
pub(super) mod band_missing;
pub(super) mod band_off;
mod level;
pub(super) mod no_signal;
pub(super) mod poor_quality;
pub(super) mod technology;
pub(super) mod weak;

use super::Rule;

pub(super) static RULES: &[&Rule] = &[
    &no_signal::RULE,
    &weak::RULE,
    &poor_quality::RULE,
    &antenna::RULE,
    &band_off::RULE,
    &band_missing::RULE,
    &technology::RULE,
];
