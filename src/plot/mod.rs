//! Plots as SVG and the page around them: self-contained, for screen, dark screen and print.
//!
//! Nothing is judged here: figures come in, pictures go out. Colours come from the page's own
//! variables, so one picture serves light, dark and paper; whatever a colour says, a shape, a dash or a
//! word says too. Every picture has a title and a description for those who do not see it.

mod axis;
mod map;
mod over_time;
mod page;
mod polar;
mod rows;

pub use map::{Dot, map};
pub use over_time::{Curve, Happening, Stretch, over_time};
pub use page::page;
pub use polar::{Beam, Look, polar};
pub use rows::{Row, rows};

use crate::sanitize::markup;
use std::fmt::Write as _;

/// Begins a picture of the given size with its title and description.
fn begin(out: &mut String, width: f64, height: f64, title: &str, description: &str) {
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" role=\"img\">\
         <title>{}</title><desc>{}</desc>",
        markup(title),
        markup(description)
    );
}

/// Writes one text.
fn text(out: &mut String, x: f64, y: f64, class: &str, words: &str) {
    let _ =
        write!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" class=\"{class}\">{}</text>", markup(words));
}

/// The shapes that tell series apart; with the colour classes `k0`, `k1` … they never stand alone.
fn shape(out: &mut String, index: usize, x: f64, y: f64, size: f64) {
    let s = size;
    let class = format!("k{}", index % 6);
    let drawn = match index % 6 {
        0 => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{s:.1}\" class=\"{class}\"/>"),
        1 => format!(
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" class=\"{class}\"/>",
            x - s,
            y - s,
            2.0 * s,
            2.0 * s
        ),
        2 => format!(
            "<path d=\"M{x:.1} {:.1}L{:.1} {:.1}H{:.1}Z\" class=\"{class}\"/>",
            y - 1.2 * s,
            x + 1.1 * s,
            y + 0.9 * s,
            x - 1.1 * s
        ),
        3 => format!(
            "<path d=\"M{x:.1} {:.1}L{:.1} {y:.1}L{x:.1} {:.1}L{:.1} {y:.1}Z\" class=\"{class}\"/>",
            y - 1.3 * s,
            x + 1.3 * s,
            y + 1.3 * s,
            x - 1.3 * s
        ),
        4 => format!(
            "<path d=\"M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}\" class=\"{class} line\"/>",
            x - s,
            y - s,
            x + s,
            y + s,
            x - s,
            y + s,
            x + s,
            y - s
        ),
        _ => format!(
            "<path d=\"M{x:.1} {:.1}L{:.1} {:.1}H{:.1}Z\" class=\"{class}\"/>",
            y + 1.2 * s,
            x + 1.1 * s,
            y - 0.9 * s,
            x - 1.1 * s
        ),
    };
    out.push_str(&drawn);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture is well-formed, every path begins with a move, and no number is missing.
    pub(super) fn sound(svg: &str) {
        let mut reader = quick_xml::Reader::from_str(svg);
        let mut depth = 0i32;
        loop {
            match reader.read_event().expect("well-formed") {
                quick_xml::events::Event::Start(_) => depth += 1,
                quick_xml::events::Event::End(_) => depth -= 1,
                quick_xml::events::Event::Eof => break,
                _ => {}
            }
        }
        assert_eq!(depth, 0);
        for path in svg.split(" d=\"").skip(1) {
            assert!(path.starts_with('M'), "{}", &path[..20.min(path.len())]);
        }
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
        assert!(svg.contains("<title>") && svg.contains("<desc>") && svg.contains("role=\"img\""));
    }

    #[test]
    fn every_shape_is_another_drawing() {
        let mut seen = std::collections::BTreeSet::new();
        for i in 0..6 {
            let mut out = String::new();
            shape(&mut out, i, 0.0, 0.0, 3.0);
            let form = out.replace(&format!("k{i}"), "");
            assert!(seen.insert(form));
        }
    }
}
