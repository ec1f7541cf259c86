//! Turning an antenna: what was heard at each heading, the direction that fits, and the screen.

mod draw;
mod fit;
mod state;

pub use draw::draw;
pub use fit::{Fitted, fit};
pub use state::{Best, State};
