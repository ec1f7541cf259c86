//! The support desk: a page on the technician's own machine, for pasting, reading and looking up.
//!
//! The server listens on loopback only and lets in who has the key of this start. Each request carries its text
//! and gets its page, so two people's texts never meet; nothing is kept but what is put into a ticket. The page works
//! without code in the browser; `desk.js` adds the result while pasting, copying, files.

mod carry;
mod desktop;
mod form;
mod frame;
mod guard;
mod look;
mod needs;
mod pages;
mod result;
mod server;
mod tickets;

pub use desktop::Desktop;
pub use server::serve;
