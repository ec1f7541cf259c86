//! What follows a refusal for a reason that the network gave.

use crate::rules::{Consequence, Layer};

/// What follows a refusal for a reason that the network gave.
pub(super) const AFTER_REFUSAL: &[Consequence] = &[
    Consequence::Rule(&super::denied::RULE),
    Consequence::Rule(&super::searching::RULE),
    Consequence::Rule(&super::idle::RULE),
    Consequence::Rule(&super::emergency::RULE),
    Consequence::Rule(&super::manual::RULE),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];
