//! Levels as small scales with their thresholds, and lists of bands as strips of the spectrum where several are compared.

use super::Sheet;
use crate::case::{Case, Quantity, Rat, Value};
use crate::plot::{Bands, Range, scale, strip};
use crate::reference::bands::{Edges, lte_band, nr_band};
use crate::reference::levels;
use maud::{Markup, html};

/// The levels that have a scale: what they are, their name in the table, that of NR, their unit.
const LEVELS: [(Quantity, &str, &str, &str, &str); 7] = [
    (Quantity::Rsrp, "RSRP", "rsrp", "ss-rsrp", "dBm"),
    (Quantity::Rsrq, "RSRQ", "rsrq", "ss-rsrq", "dB"),
    (Quantity::Sinr, "SINR", "sinr", "ss-sinr", "dB"),
    (Quantity::Rscp, "RSCP", "rscp", "rscp", "dBm"),
    (Quantity::EcNo, "Ec/No", "ecno", "ecno", "dB"),
    (Quantity::Rxlev, "RxLev", "rxlev", "rxlev", "dBm"),
    (Quantity::Rssi, "RSSI", "rssi", "rssi", "dBm"),
];

/// Of NR only bands below this lie on the strip, MHz.
const HIGHEST: f64 = 7125.0;

impl Sheet<'_, '_> {
    pub(super) fn levels(&self) -> Markup {
        let case = self.explanation.case();
        let scales: Vec<_> = LEVELS.iter().filter_map(|level| self.level(case, level)).collect();
        let strips: Vec<_> =
            [Rat::Lte, Rat::Nr].into_iter().filter_map(|r| bands(case, r)).collect();
        html! {
            @if !scales.is_empty() {
                h2 { "Levels" }
                div class="scales" { @for scale in scales { (scale) } }
            }
            @if !strips.is_empty() {
                h2 { "Bands" }
                @for strip in strips { (strip) }
                p class="faint" { "The downlink of each band. A dashed one is not on every list." }
            }
        }
    }

    fn level(&self, case: &Case, level: &(Quantity, &str, &str, &str, &str)) -> Option<Markup> {
        let (quantity, name, own, of_nr, unit) = *level;
        let (value, observed) = case.level(quantity)?;
        let value = value?;
        let nr = case.radio.technology.latest().is_some_and(|o| o.value == Rat::Nr);
        let table = if nr { of_nr } else { own };
        let ranges = levels::ranges(table);
        let shown: Vec<_> =
            ranges.iter().map(|r| Range { low: r.low, high: r.high, name: r.judgement }).collect();
        let picture = scale(value, unit, &shown)?;
        let range = levels::judge(table, value)?;
        Some(html! {
            figure {
                figcaption { b { (name) } ": " (range.judgement) ", " (self.line(observed.span.start)) }
                (picture)
                p class="faint" { (range.words) "." }
            }
        })
    }
}

/// The lists of bands of a technology, where there are two or more.
fn bands(case: &Case, rat: Rat) -> Option<Markup> {
    let of = |list: Option<&(Rat, Vec<u16>)>| list.map(|(_, bands)| bands.clone());
    let latest = |history: &crate::case::History<(Rat, Vec<u16>)>| {
        of(history.current().iter().rev().map(|o| &o.value).find(|(r, _)| *r == rat))
    };
    let in_use = case.radio.readings.current().iter().rev().find_map(|o| match o.value.value {
        // A band's number is a small whole one.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "in range")]
        Value::Number(Some(n))
            if o.value.quantity == Quantity::Band && (1.0..512.0).contains(&n) =>
        {
            Some(n as u16)
        }
        _ => None,
    });
    let serving = case.radio.technology.latest().is_some_and(|o| o.value == rat);
    let said = case.radio.network_bands.latest().map(|o| o.value.clone());
    let lists = [
        ("modem has", latest(&case.radio.supported_bands)),
        ("switched on", latest(&case.radio.enabled_bands)),
        ("network uses", said),
        ("in use", in_use.filter(|_| serving).map(|band| vec![band])),
    ];
    let lists: Vec<_> = lists
        .into_iter()
        .filter_map(|(name, list)| {
            let bands: Vec<_> = list?.iter().filter_map(|n| placed(rat, *n)).collect();
            (!bands.is_empty()).then_some(Bands { name, bands })
        })
        .collect();
    if lists.len() < 2 {
        return None;
    }
    let picture = strip(&lists)?;
    Some(html! { figure class="strip" { figcaption { b { (rat.name()) } } (picture) } })
}

/// A band by its name and the edges of its downlink, MHz.
fn placed(rat: Rat, number: u16) -> Option<(String, f64, f64)> {
    let (name, edges): (_, Edges) = match rat {
        Rat::Nr => (format!("n{number}"), nr_band(number)?.downlink?),
        _ => (number.to_string(), lte_band(number)?.downlink),
    };
    let (low, high) = (f64::from(edges.low_khz) / 1000.0, f64::from(edges.high_khz) / 1000.0);
    (high <= HIGHEST).then_some((name, low, high))
}
