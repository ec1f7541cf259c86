//! What follows where the network opens no session.

use crate::rules::{Consequence, Layer};

/// What follows where the network opens no session.
pub(super) const AFTER_REFUSAL: &[Consequence] = &[
    Consequence::Rule(&super::inactive::RULE),
    Consequence::Rule(&crate::rules::registration::attach_bearer::RULE),
    Consequence::Rule(&crate::rules::registration::denied::RULE),
    Consequence::Rule(&crate::rules::registration::searching::RULE),
    Consequence::Rule(&crate::rules::registration::idle::RULE),
    Consequence::Layer(Layer::Path),
];
