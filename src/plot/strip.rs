//! A strip of the spectrum: lists of bands one under the other, each band where it lies.

use super::picture::Picture;
use maud::Markup;

/// One list of bands.
#[derive(Clone, Debug)]
pub struct Bands<'a> {
    /// What the list is.
    pub name: &'a str,
    /// The names of the bands and their edges, MHz.
    pub bands: Vec<(String, f64, f64)>,
}

/// Marks of the axis, MHz.
const MARKS: [f64; 7] = [400.0, 600.0, 1000.0, 1500.0, 2000.0, 3000.0, 5000.0];

/// The band begins right of its list's name.
const LEFT: f64 = 100.0;
const RIGHT: f64 = 510.0;

/// Draws the lists over a common logarithmic axis; a band that is in one list only is set off.
pub fn strip(lists: &[Bands<'_>]) -> Option<Markup> {
    let all = || lists.iter().flat_map(|l| &l.bands);
    let low = all().map(|b| b.1).fold(f64::MAX, f64::min);
    let high = all().map(|b| b.2).fold(f64::MIN, f64::max);
    if low >= high || low <= 0.0 {
        return None;
    }
    let (low, high) = (low * 0.97, high * 1.03);
    let at = |mhz: f64| LEFT + (mhz / low).ln() / (high / low).ln() * (RIGHT - LEFT);
    let words: Vec<_> = lists
        .iter()
        .map(|l| {
            let names: Vec<_> = l.bands.iter().map(|b| b.0.as_str()).collect();
            format!("{}: {}", l.name, names.join(", "))
        })
        .collect();
    let height = 30.0 + 36.0 * lists.len() as f64;
    let mut out =
        Picture::new(520.0, height, "Bands on the spectrum, MHz", format!("{}.", words.join("; ")));
    for mark in MARKS.into_iter().filter(|m| (low..=high).contains(m)) {
        let x = at(mark);
        out.path(&format!("M{x:.1} 4V{:.1}", height - 22.0), "grid");
        out.text(x, height - 6.0, "middle small", &format!("{mark}"));
    }
    out.text(LEFT - 8.0, height - 6.0, "end small", "MHz");
    for (row, list) in lists.iter().enumerate() {
        let y = 18.0 + 36.0 * row as f64;
        out.text(LEFT - 8.0, y + 11.0, "end", list.name);
        let mut bands = list.bands.clone();
        bands.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut free = f64::MIN;
        for (name, from, to) in &bands {
            let everywhere = lists.iter().all(|l| l.bands.iter().any(|b| b.0 == *name));
            let (a, b) = (at(*from), at(*to));
            let class = if everywhere { "band" } else { "band apart" };
            out.named(&format!("{name}: {from} to {to} MHz"), |out| {
                out.rectangle((a, y), ((b - a).max(2.0), 14.0), class);
            });
            // A name that would cover another one is left to the description.
            let middle = f64::midpoint(a, b);
            let width = 7.0 * name.chars().count() as f64;
            if middle - width / 2.0 > free {
                out.text(middle, y - 3.0, "middle small", name);
                free = middle + width / 2.0 + 2.0;
            }
        }
    }
    Some(out.finish())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::picture::sound;

    #[test]
    fn every_band_is_drawn_in_its_row_and_order() {
        let band = |name: &str, low, high| (name.to_owned(), low, high);
        let lists = [
            Bands { name: "has", bands: vec![band("3", 1805.0, 1880.0), band("20", 791.0, 821.0)] },
            Bands { name: "on", bands: vec![band("20", 791.0, 821.0)] },
        ];
        let svg = sound(&strip(&lists).unwrap());
        assert_eq!(svg.matches("<rect").count(), 3);
        assert_eq!(svg.matches("band apart").count(), 1, "{svg}");
        assert!(svg.find("20: 791").unwrap() < svg.find("3: 1805").unwrap());
        assert!(svg.contains("has: 3, 20; on: 20."), "{svg}");
        assert!(strip(&[]).is_none());
    }
}
