//! `frequency`: every band that holds a frequency, and its channel number there.

use super::{Answer, Found, Problem};
use crate::reference::bands::gsm::gsm_bands;
use crate::reference::bands::nr::arfcn_of;
use crate::reference::bands::utra::utra_bands;
use crate::reference::bands::{Duplex, lte_bands, mhz, nr_bands};
use serde_json::{Value, json};

/// Where a frequency in MHz lies in all systems.
///
/// # Errors
///
/// [`Problem`] where the text is no frequency or no band holds it.
pub fn frequency(text: &str) -> Found {
    let plain = text.trim().to_ascii_lowercase();
    let (number, factor) = match (plain.strip_suffix("mhz"), plain.strip_suffix("ghz")) {
        (Some(n), _) => (n, 1000.0),
        (_, Some(n)) => (n, 1_000_000.0),
        _ => (plain.as_str(), 1000.0),
    };
    let khz = number.trim().replace(',', ".").parse::<f64>().ok().map(|n| n * factor);
    let Some(khz) = khz.filter(|k| (1.0..=100_000_000.0).contains(k)) else {
        return Err(Problem::new(format!(
            "`{text}` is no frequency; write it in MHz, as in 806 or 1842.5"
        )));
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and 10^8"
    )]
    let khz = khz.round() as u32;
    let mut matches: Vec<Value> = Vec::new();
    let mut lines: Vec<(String, String)> = Vec::new();
    let mut lte = Vec::new();
    let mut nr = Vec::new();
    let mut utra = Vec::new();
    let mut gsm = Vec::new();
    for band in lte_bands() {
        let links = [
            ("downlink", Some(band.downlink), band.downlink_earfcn(khz)),
            ("uplink", band.uplink.filter(|_| band.duplex != Duplex::Tdd), band.uplink_earfcn(khz)),
        ];
        for (link, edges, number) in links {
            if edges.is_some_and(|e| e.contains(khz)) {
                let link = if band.duplex == Duplex::Tdd { "both" } else { link };
                if !lte.contains(&band.number) {
                    lte.push(band.number);
                }
                matches.push(json!({"technology": "E-UTRA", "band": band.number, "name": format!("B{}", band.number), "link": link, "earfcn": number}));
                let at = number
                    .map_or_else(|| "off the 100 kHz raster".to_owned(), |n| format!("EARFCN {n}"));
                lines.push((format!("LTE B{}", band.number), format!("{link}, {at}")));
            }
        }
    }
    for band in nr_bands() {
        for (link, edges) in [
            ("downlink", band.downlink),
            ("uplink", band.uplink.filter(|_| band.duplex != Duplex::Tdd)),
        ] {
            if edges.is_some_and(|e| e.contains(khz)) {
                let link = if band.duplex == Duplex::Tdd { "both" } else { link };
                if !nr.contains(&band.number) {
                    nr.push(band.number);
                }
                let number = arfcn_of(khz);
                matches.push(json!({"technology": "NR", "band": band.number, "name": format!("n{}", band.number), "link": link, "nr_arfcn": number}));
                let at =
                    number.map_or_else(|| "off the raster".to_owned(), |n| format!("NR-ARFCN {n}"));
                lines.push((format!("NR n{}", band.number), format!("{link}, {at}")));
            }
        }
    }
    for band in utra_bands() {
        let links = [("downlink", Some(&band.downlink)), ("uplink", band.uplink.as_ref())];
        for (link, direction) in links {
            if let Some(direction) = direction.filter(|d| d.edges.contains(khz)) {
                let number = direction.uarfcn(khz);
                if !utra.contains(&band.number) {
                    utra.push(band.number);
                }
                matches.push(json!({"technology": "UTRA", "band": band.number, "name": format!("UMTS {}", band.roman), "link": link, "uarfcn": number}));
                let at = number.map_or_else(
                    || "no channel centre there".to_owned(),
                    |n| format!("UARFCN {n}"),
                );
                lines.push((format!("UMTS {}", band.roman), format!("{link}, {at}")));
            }
        }
    }
    for band in gsm_bands() {
        let links = [
            ("downlink", band.downlink, band.arfcn_of_downlink(khz)),
            ("uplink", band.uplink, band.arfcn_of_uplink(khz)),
        ];
        for (link, edges, number) in links {
            if edges.contains(khz) {
                gsm.push(band.name);
                matches.push(
                    json!({"technology": "GSM", "name": band.name, "link": link, "arfcn": number}),
                );
                let at = number
                    .map_or_else(|| "no channel centre there".to_owned(), |n| format!("ARFCN {n}"));
                lines.push((band.name.to_owned(), format!("{link}, {at}")));
            }
        }
    }
    if matches.is_empty() {
        let near = lte_bands()
            .iter()
            .flat_map(|b| [Some(b.downlink), b.uplink].into_iter().flatten())
            .map(|e| khz.clamp(e.low_khz, e.high_khz))
            .min_by_key(|k| k.abs_diff(khz));
        let problem = Problem::new(format!("no band of any system contains {} MHz", mhz(khz)));
        return Err(near.map_or(problem.clone(), |near| problem.near(format!("{} MHz", mhz(near)))));
    }
    let mut answer = Answer::new(
        "frequency",
        text,
        format!("{} MHz lies in {} stretches of spectrum", mhz(khz), matches.len()),
    )
    .field("mhz", mhz(khz))
    .field("bands", json!(lte))
    .field("nr_bands", json!(nr))
    .field("umts_bands", json!(utra))
    .field("gsm_bands", json!(gsm))
    .field("matches", matches)
    .field("clause", "TS 36.101 5.5, 5.7.3; TS 38.101-1 5.2, 5.4.2; TS 25.101 5.2; TS 45.005 2");
    for (label, text) in lines {
        answer = answer.line(label, text);
    }
    Ok(answer)
}
