//! One picture as SVG: its size, title and description, and the elements that the plots put into it.

use crate::sanitize::plain;
use maud::{Markup, PreEscaped, html};

/// A picture that is being drawn.
pub(super) struct Picture {
    width: f64,
    height: f64,
    title: &'static str,
    description: String,
    body: String,
}

/// A figure of the picture to a tenth.
fn tenth(value: f64) -> String {
    format!("{value:.1}")
}

impl Picture {
    /// An empty picture.
    pub(super) fn new(width: f64, height: f64, title: &'static str, description: String) -> Self {
        Self { width, height, title, description, body: String::new() }
    }

    fn put(&mut self, element: &Markup) {
        self.body.push_str(&element.0);
    }

    /// A path; `d` begins with a move.
    pub(super) fn path(&mut self, d: &str, class: &str) {
        self.put(&html! { path d=(d) class=(class) {} });
    }

    /// A text; `class` may name `end`, `middle`, `small`, `strong`.
    pub(super) fn text(&mut self, x: f64, y: f64, class: &str, words: &str) {
        self.put(&html! { text x=(tenth(x)) y=(tenth(y)) class=(class) { (plain(words)) } });
    }

    /// A rectangle.
    pub(super) fn rectangle(&mut self, at: (f64, f64), size: (f64, f64), class: &str) {
        self.put(&html! {
            rect x=(tenth(at.0)) y=(tenth(at.1)) width=(tenth(size.0)) height=(tenth(size.1)) class=(class) {}
        });
    }

    /// A circle.
    pub(super) fn circle(&mut self, at: (f64, f64), radius: f64, class: &str) {
        self.put(
            &html! { circle cx=(tenth(at.0)) cy=(tenth(at.1)) r=(tenth(radius)) class=(class) {} },
        );
    }

    /// The shapes that tell series apart; with the colour classes `k0`, `k1` … they never stand alone.
    pub(super) fn shape(&mut self, index: usize, x: f64, y: f64, s: f64) {
        let class = format!("k{}", index % 6);
        match index % 6 {
            0 => self.circle((x, y), s, &class),
            1 => self.rectangle((x - s, y - s), (2.0 * s, 2.0 * s), &class),
            2 => self.path(
                &format!(
                    "M{x:.1} {:.1}L{:.1} {:.1}H{:.1}Z",
                    y - 1.2 * s,
                    x + 1.1 * s,
                    y + 0.9 * s,
                    x - 1.1 * s
                ),
                &class,
            ),
            3 => self.path(
                &format!(
                    "M{x:.1} {:.1}L{:.1} {y:.1}L{x:.1} {:.1}L{:.1} {y:.1}Z",
                    y - 1.3 * s,
                    x + 1.3 * s,
                    y + 1.3 * s,
                    x - 1.3 * s
                ),
                &class,
            ),
            4 => self.path(
                &format!(
                    "M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}",
                    x - s,
                    y - s,
                    x + s,
                    y + s,
                    x - s,
                    y + s,
                    x + s,
                    y - s
                ),
                &format!("{class} line"),
            ),
            _ => self.path(
                &format!(
                    "M{x:.1} {:.1}L{:.1} {:.1}H{:.1}Z",
                    y + 1.2 * s,
                    x + 1.1 * s,
                    y - 0.9 * s,
                    x - 1.1 * s
                ),
                &class,
            ),
        }
    }

    /// What `draw` draws is one thing whose name shows when it is pointed at.
    pub(super) fn named(&mut self, name: &str, draw: impl FnOnce(&mut Self)) {
        let outside = std::mem::take(&mut self.body);
        draw(self);
        let inside = std::mem::replace(&mut self.body, outside);
        self.put(&html! { g { title { (plain(name)) } (PreEscaped(inside)) } });
    }

    /// The finished picture.
    pub(super) fn finish(self) -> Markup {
        let size = format!("0 0 {:.0} {:.0}", self.width, self.height);
        html! {
            svg xmlns="http://www.w3.org/2000/svg" viewBox=(size) role="img" {
                title { (self.title) }
                desc { (plain(&self.description)) }
                (PreEscaped(self.body))
            }
        }
    }
}

/// A name that fits.
pub(super) fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_owned();
    }
    let mut short: String = name.chars().take(most - 1).collect();
    short.push('…');
    short
}

/// A picture is well-formed, every path begins with a move, and no number is missing.
#[cfg(test)]
pub(super) fn sound(svg: &Markup) -> String {
    let svg = svg.0.clone();
    let mut reader = quick_xml::Reader::from_str(&svg);
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
    svg
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_cannot_leave_its_place() {
        let mut picture = Picture::new(10.0, 10.0, "t", "<b>".to_owned());
        picture.named("\"<i>", |p| p.text(1.0, 2.0, "small", "<script>\u{1b}[2J\u{202e}&\""));
        let svg = sound(&picture.finish());
        assert!(svg.contains("&lt;script&gt;\u{fffd}[2J\u{fffd}&amp;&quot;"), "{svg}");
        assert!(!svg.contains("<i>") && !svg.contains("<b>"));
    }

    #[test]
    fn every_shape_is_another_drawing() {
        let mut seen = std::collections::BTreeSet::new();
        for i in 0..6 {
            let mut picture = Picture::new(10.0, 10.0, "t", String::new());
            picture.shape(i, 0.0, 0.0, 3.0);
            assert!(seen.insert(picture.body.replace(&format!("k{i}"), "")));
        }
    }
}
