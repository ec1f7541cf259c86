//! The support desk: a page on the technician's own machine, for pasting, reading and looking up.
//!
//! The server listens on loopback only and lets in who has the key of this start. It keeps nothing: each request
//! carries its text and gets its page, so two people's texts never meet. The page works without code in the browser.

mod carry;
mod desktop;
mod guard;
mod pages;
mod server;

pub use desktop::Desktop;
pub use server::serve;
