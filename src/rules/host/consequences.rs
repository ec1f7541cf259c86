//! What follows where no AT dialogue is possible.

use crate::rules::{Consequence, Layer};

/// What follows where no AT dialogue is possible.
pub(super) const WITHOUT_PORT: &[Consequence] = &[
    Consequence::Rule(&super::port_silent::RULE),
    Consequence::Layer(Layer::Device),
    Consequence::Layer(Layer::Card),
    Consequence::Layer(Layer::Radio),
    Consequence::Layer(Layer::Registration),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];
