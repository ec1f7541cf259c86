//! Plots as SVG and the page around them: self-contained, for screen, dark screen and print.
//!
//! Nothing is judged here: figures come in, pictures go out. Colours come from the page's own
//! variables, so one picture serves light, dark and paper; whatever a colour says, a shape, a dash or a
//! word says too. Every picture has a title and a description for those who do not see it.

mod axis;
mod by_day;
mod map;
mod over_time;
mod page;
mod picture;
mod polar;
mod ranked;
mod rows;
mod scale;
mod strip;

pub use by_day::{DayBar, by_day};
pub use map::{Dot, map};
pub use over_time::{Curve, Happening, Stretch, over_time};
pub use page::{page, page_with_script};
pub use polar::{Beam, HeadingLevel, polar};
pub use ranked::ranked;
pub use rows::{Row, rows};
pub use scale::{Range, scale};
pub use strip::{Bands, strip};
