//! `band`: an operating band of any technology, and what shares spectrum with it.

use super::{Answer, Problem};
use crate::reference::bands::gsm::GsmBand;
use crate::reference::bands::nr::nr_bands_overlapping;
use crate::reference::bands::utra::UtraBand;
use crate::reference::bands::{
    BandName, Channels, Duplex, Edges, EutraBand, NrBand, lte_bands, lte_bands_overlapping, mhz,
    nr_bands,
};
use serde_json::{Value, json};

/// Every band that a name means, the likeliest first.
///
/// # Errors
///
/// [`Problem`] where no band has that name.
pub fn band(name: &str) -> Result<Vec<Answer>, Problem> {
    let found: Vec<_> = BandName::read(name).into_iter().map(|b| one(name, b)).collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let digits: String = name.chars().filter(char::is_ascii_digit).collect();
    let sentence = format!(
        "there is no band `{name}`; write 20 or B20 for LTE, n78 for 5G NR, UMTS8 for UMTS, GSM900 for GSM"
    );
    Err(match digits.parse::<u16>() {
        Ok(n) if name.trim().to_ascii_lowercase().starts_with('n') => Problem::new(sentence)
            .near(format!("n{}", nearest(nr_bands().iter().map(|b| b.number), n))),
        Ok(n) => Problem::new(sentence).near(nearest(lte_bands().iter().map(|b| b.number), n)),
        Err(_) => Problem::new(sentence),
    })
}

fn nearest(numbers: impl Iterator<Item = u16>, wanted: u16) -> u16 {
    numbers.min_by_key(|n| n.abs_diff(wanted)).unwrap_or(wanted)
}

fn one(input: &str, band: BandName) -> Answer {
    match band {
        BandName::Lte(band) => lte(input, band),
        BandName::Nr(band) => nr(input, band),
        BandName::Utra(band) => utra(input, band),
        BandName::Gsm(band) => gsm(input, band),
    }
}

pub(super) fn both_mhz(edges: Option<Edges>) -> Value {
    edges.map_or(Value::Null, |e| json!([mhz(e.low_khz), mhz(e.high_khz)]))
}

fn numbers(channels: Option<Channels>) -> Value {
    channels.map_or(Value::Null, |c| json!([c.first, c.last]))
}

fn stretch(edges: Option<Edges>, channels: Option<Channels>, what: &str) -> String {
    match (edges, channels) {
        (Some(e), Some(c)) => format!("{e}, {what} {} to {}", c.first, c.last),
        (Some(e), None) => e.to_string(),
        _ => "none".into(),
    }
}

/// The fields that every band has.
fn spectrum(
    answer: Answer,
    downlink: Option<Edges>,
    uplink: Option<Edges>,
    duplex: Duplex,
) -> Answer {
    let low = |e: Option<Edges>| e.map_or(Value::Null, |e| mhz(e.low_khz).into());
    let high = |e: Option<Edges>| e.map_or(Value::Null, |e| mhz(e.high_khz).into());
    answer
        .field("duplex", duplex.name())
        .field("dl_mhz", both_mhz(downlink))
        .field("ul_mhz", both_mhz(uplink))
        .field("dl_low_mhz", low(downlink))
        .field("dl_high_mhz", high(downlink))
        .field("ul_low_mhz", low(uplink))
        .field("ul_high_mhz", high(uplink))
        .line("duplex", format!("{} ({})", duplex.name(), duplex.meaning()))
}

fn lte(input: &str, band: &'static EutraBand) -> Answer {
    let shared = lte_bands_overlapping(band.number);
    let widths: Vec<f64> = band.bandwidths_khz.iter().map(|w| mhz(*w)).collect();
    let others: Vec<u16> = shared.iter().map(|b| b.number).collect();
    let names: Vec<_> = shared
        .iter()
        .map(|b| {
            let within = band.downlink.low_khz >= b.downlink.low_khz
                && band.downlink.high_khz <= b.downlink.high_khz;
            let holds = b.downlink.low_khz >= band.downlink.low_khz
                && b.downlink.high_khz <= band.downlink.high_khz;
            let how = match (within, holds) {
                (true, true) => " (the same)",
                (true, false) => " (wholly within it)",
                (false, true) => " (wholly inside this one)",
                (false, false) => " (in part)",
            };
            format!("B{}{how}", b.number)
        })
        .collect();
    let spacing = band.spacing_khz().map(|k| k as f64 / 1000.0);
    let answer =
        Answer::new("band", input, format!("LTE band {} ({})", band.number, band.duplex.name()))
            .field("band", band.number)
            .field("bands", json!([band.number]))
            .field("name", format!("B{}", band.number))
            .field("technology", "E-UTRA");
    spectrum(answer, Some(band.downlink), band.uplink, band.duplex)
        .field("dl_earfcn", numbers(Some(band.downlink_channels)))
        .field("ul_earfcn", numbers(band.uplink_channels))
        .field("spacing_mhz", spacing.map_or(Value::Null, Into::into))
        .field("bandwidths_mhz", json!(widths))
        .field("bandwidths_verified", band.bandwidths_verified)
        .field("release", band.release)
        .field("shares_with", json!(others))
        .line("downlink", stretch(Some(band.downlink), Some(band.downlink_channels), "EARFCN"))
        .line("uplink", stretch(band.uplink, band.uplink_channels, "EARFCN"))
        .line(
            "spacing",
            spacing.map_or_else(String::new, |s| format!("{s} MHz (downlink minus uplink)")),
        )
        .line(
            "channel widths",
            format!("{} MHz", widths.iter().map(f64::to_string).collect::<Vec<_>>().join(", ")),
        )
        .field("lte_m", band.lte_m)
        .field("nb_iot", band.nb_iot)
        .line("since", format!("release {} (from memory)", band.release))
        .line("for things", things(band))
        .line("shares spectrum", names.join(", "))
        .source(band.source)
        .picture(picture(
            &std::iter::once(band)
                .chain(shared)
                .map(|b| (format!("B{}", b.number), b.downlink))
                .collect::<Vec<_>>(),
        ))
}

/// What is specified for the band beside plain LTE.
fn things(band: &EutraBand) -> &'static str {
    match (band.lte_m, band.nb_iot) {
        (true, true) => "LTE-M and NB-IoT (0.2 MHz wide) are specified here (from memory)",
        (true, false) => "LTE-M is specified here, NB-IoT is not (from memory)",
        (false, true) => "NB-IoT (0.2 MHz wide) is specified here, LTE-M is not (from memory)",
        (false, false) => "neither LTE-M nor NB-IoT is specified here (from memory)",
    }
}

fn nr(input: &str, band: &'static NrBand) -> Answer {
    let shared = nr_bands_overlapping(band.number);
    let others: Vec<u16> = shared.iter().map(|b| b.number).collect();
    let names: Vec<_> = shared.iter().map(|b| format!("n{}", b.number)).collect();
    let spacing = band.spacing_khz().map(|k| k as f64 / 1000.0);
    let answer =
        Answer::new("band", input, format!("5G NR band n{} ({})", band.number, band.duplex.name()))
            .field("band", band.number)
            .field("bands", json!([band.number]))
            .field("name", format!("n{}", band.number))
            .field("technology", "NR");
    spectrum(answer, band.downlink, band.uplink, band.duplex)
        .field("spacing_mhz", spacing.map_or(Value::Null, Into::into))
        .field("shares_with", json!(others))
        .line("downlink", stretch(band.downlink, None, ""))
        .line("uplink", stretch(band.uplink, None, ""))
        .line(
            "spacing",
            spacing.map_or_else(String::new, |s| format!("{s} MHz (downlink minus uplink)")),
        )
        .line("shares spectrum", names.join(", "))
        .source(band.source)
}

fn utra(input: &str, band: &'static UtraBand) -> Answer {
    let answer = Answer::new("band", input, format!("UMTS band {} ({})", band.roman, band.number))
        .field("band", band.number)
        .field("bands", json!([band.number]))
        .field("name", format!("UMTS {}", band.roman))
        .field("technology", "UTRA");
    let (down, up) = (&band.downlink, band.uplink.as_ref());
    let uplink_edges = up.map(|u| u.edges);
    let uplink_channels = up.map(|u| u.channels);
    let duplex = if up.is_some() { Duplex::Fdd } else { Duplex::DownlinkOnly };
    let spacing = band.spacing_khz().map(|khz| khz as f64 / 1000.0);
    let more: Vec<_> = down.additional.iter().map(u32::to_string).collect();
    spectrum(answer, Some(down.edges), uplink_edges, duplex)
        .field("dl_uarfcn", numbers(Some(down.channels)))
        .field("ul_uarfcn", numbers(uplink_channels))
        .field("dl_uarfcn_additional", json!(down.additional))
        .field("ul_uarfcn_additional", json!(up.map_or(&[][..], |u| &u.additional)))
        .field("spacing_mhz", spacing.map_or(Value::Null, Into::into))
        .line("downlink", stretch(Some(down.edges), Some(down.channels), "UARFCN"))
        .line("uplink", stretch(uplink_edges, uplink_channels, "UARFCN"))
        .line("additional downlinks", more.join(", "))
        .source(band.source)
}

fn gsm(input: &str, band: &'static GsmBand) -> Answer {
    let runs: Vec<_> =
        band.runs.iter().map(|r| json!([r.channels.first, r.channels.last])).collect();
    let words: Vec<_> =
        band.runs.iter().map(|r| format!("{} to {}", r.channels.first, r.channels.last)).collect();
    let answer = Answer::new("band", input, band.name.to_owned())
        .field("name", band.name)
        .field("technology", "GSM");
    spectrum(answer, Some(band.downlink), Some(band.uplink), Duplex::Fdd)
        .field("arfcn", json!(runs))
        .line("downlink", band.downlink.to_string())
        .line("uplink", band.uplink.to_string())
        .line(
            "ARFCN",
            if words.is_empty() { "mapped by the network".into() } else { words.join(", ") },
        )
        .source(band.source)
}

/// Bars on one scale, so that overlaps are seen.
fn picture(bands: &[(String, Edges)]) -> Vec<String> {
    const COLUMNS: u32 = 48;
    if bands.len() < 2 {
        return Vec::new();
    }
    let low = bands.iter().map(|(_, e)| e.low_khz).min().unwrap_or(0);
    let high = bands.iter().map(|(_, e)| e.high_khz).max().unwrap_or(1);
    let column = |khz: u32| {
        let at = u64::from(khz - low) * u64::from(COLUMNS) / u64::from((high - low).max(1));
        usize::try_from(at).unwrap_or(0)
    };
    let mut lines: Vec<String> = bands
        .iter()
        .map(|(name, e)| {
            let (from, to) = (column(e.low_khz), column(e.high_khz).max(column(e.low_khz) + 1));
            format!(
                "  {name:>4} {}{}  {e}",
                " ".repeat(from),
                "=".repeat(to - from) + &" ".repeat(COLUMNS as usize - to)
            )
        })
        .collect();
    lines.insert(0, "  downlinks on one scale:".into());
    lines
}
