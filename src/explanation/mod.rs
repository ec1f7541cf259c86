//! The explanation of a text: the one value that every output format writes, and one writer a format.
//!
//! [`Explanation::of`] reads, chooses a carrier profile, judges and attaches what is known beside the verdict. A
//! writer is a function from an [`Explanation`] to text; it decides nothing.

mod asking;
mod basis;
mod device;
mod explained;
mod extract;
pub mod html;
pub mod json;
mod layout;
mod markdown;
mod marks;
mod message;
mod returning;
mod team;
mod text;
mod unread;

pub use basis::{Basis, View};
pub use device::Device;
pub use explained::Explanation;
pub use extract::{Extract, Part, Source};
pub use html::html;
pub use json::json;
pub(crate) use layout::lines_of;
pub use markdown::markdown;
pub use message::{Reader, message, message_to};
pub use text::text;
