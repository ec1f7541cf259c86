//! `earfcn`: what a channel number names, in every system that numbers so high.

use super::{Answer, Problem};
use crate::reference::bands::gsm::gsm_bands_of_arfcn;
use crate::reference::bands::nr::{self, khz_of, nr_bands_of_arfcn};
use crate::reference::bands::utra::utra_channels;
use crate::reference::bands::{
    BandName, Duplex, Edges, EutraBand, Link, lte_bands, lte_channel, mhz,
};
use serde_json::{Value, json};

/// What a number names in GSM: every band that has it, because bands share numbers. Where GSM has
/// no such number, everything that it names elsewhere.
///
/// # Errors
///
/// [`Problem`] where nothing has that number.
pub fn arfcn(number: &str) -> Result<Vec<Answer>, Problem> {
    let plain = number.trim();
    let found: Vec<_> = plain
        .parse()
        .map_or_else(|_| Vec::new(), |n| gsm(plain, n).into_iter().map(|(_, a)| a).collect());
    if found.is_empty() { channel(number, None, None) } else { Ok(found) }
}

/// Everything that a channel number names; `band` narrows it to one system and band, `width_khz`
/// asks for the edges of a channel that wide.
///
/// # Errors
///
/// [`Problem`] where nothing has that number, or the band does not hold it.
pub fn channel(
    number: &str,
    band: Option<&str>,
    width_khz: Option<u32>,
) -> Result<Vec<Answer>, Problem> {
    let plain = number.trim();
    let Ok(n) = plain.parse::<u32>() else {
        return Err(Problem::new(format!(
            "`{number}` is no channel number; a whole number from 0 to {} is wanted",
            nr::LAST
        )));
    };
    let mut found = Vec::new();
    if let Some(name) = band {
        let bands = BandName::read(name);
        if bands.is_empty() {
            return Err(Problem::new(format!(
                "there is no band `{name}`; write 20, n78, UMTS8 or GSM900"
            )));
        }
        for band in &bands {
            found.extend(match band {
                BandName::Lte(b) => {
                    lte(plain, n, width_khz).filter(|(of, _)| *of == b.number).map(|(_, a)| a)
                }
                BandName::Nr(b) => nr_bands_of_arfcn(n)
                    .iter()
                    .any(|x| x.number == b.number)
                    .then(|| nr_answer(plain, n, Some(b.number)))
                    .flatten(),
                BandName::Utra(b) => {
                    utra(plain, n).into_iter().find(|(of, _)| *of == b.number).map(|(_, a)| a)
                }
                BandName::Gsm(b) => {
                    gsm(plain, n).into_iter().find(|(of, _)| *of == b.name).map(|(_, a)| a)
                }
            });
        }
        if found.is_empty() {
            return Err(outside(n, bands[0]));
        }
    } else {
        found.extend(lte(plain, n, width_khz).map(|(_, a)| a));
        found.extend(nr_answer(plain, n, None));
        found.extend(utra(plain, n).into_iter().map(|(_, a)| a));
        found.extend(gsm(plain, n).into_iter().map(|(_, a)| a));
    }
    if found.is_empty() {
        let near = nearest_lte(n);
        return Err(
            Problem::new(format!("no band of any system has a channel number {n}")).near(near)
        );
    }
    Ok(found)
}

fn nearest_lte(n: u32) -> u32 {
    lte_bands()
        .iter()
        .flat_map(|b| [Some(b.downlink_channels), b.uplink_channels].into_iter().flatten())
        .map(|c| c.nearest(n))
        .min_by_key(|near| near.abs_diff(n))
        .unwrap_or(n)
}

fn outside(n: u32, band: BandName) -> Problem {
    let ranges = match band {
        BandName::Lte(b) => Some((b.downlink_channels, b.uplink_channels)),
        BandName::Utra(b) => Some((b.downlink.channels, b.uplink.as_ref().map(|u| u.channels))),
        BandName::Nr(_) | BandName::Gsm(_) => None,
    };
    let name = band.short();
    match ranges {
        Some((down, up)) => {
            let uplink =
                up.map_or_else(String::new, |u| format!(", uplink {} to {}", u.first, u.last));
            let near = [Some(down), up]
                .into_iter()
                .flatten()
                .map(|c| c.nearest(n))
                .min_by_key(|c| c.abs_diff(n));
            let problem = Problem::new(format!(
                "{n} is not in {name}: downlink {} to {}{uplink}",
                down.first, down.last
            ));
            near.map_or(problem.clone(), |near| problem.near(near))
        }
        None => Problem::new(format!("{n} is not a channel number of {name}")),
    }
}

/// The width of an NB-IoT carrier, kHz (TS 36.101 §5.6F).
const NB_IOT_KHZ: u32 = 200;

fn lte(input: &str, n: u32, width_khz: Option<u32>) -> Option<(u16, Answer)> {
    let channel = lte_channel(n)?;
    let band: &EutraBand = channel.band;
    let (down, up) = (channel.downlink, channel.uplink);
    let khz = |c: Option<(u32, u32)>| c.map_or(Value::Null, |(_, khz)| mhz(khz).into());
    let number = |c: Option<(u32, u32)>| c.map_or(Value::Null, |(n, _)| n.into());
    let words = |c: Option<(u32, u32)>| {
        c.map_or_else(|| "none".to_owned(), |(n, khz)| format!("{} MHz (EARFCN {n})", mhz(khz)))
    };
    let centre = down.or(up).map(|(_, khz)| khz);
    let heard_on: Vec<u16> = lte_bands()
        .iter()
        .filter(|b| {
            b.number != band.number && down.is_some_and(|(_, khz)| b.downlink.contains(khz))
        })
        .map(|b| b.number)
        .collect();
    let title = match (channel.link, down.or(up)) {
        (Link::Uplink, _) => format!("EARFCN {n}: uplink of LTE band {}", band.number),
        (_, Some((_, khz))) => format!("EARFCN {n}: LTE band {}, {} MHz", band.number, mhz(khz)),
        _ => format!("EARFCN {n}: LTE band {}", band.number),
    };
    let mut answer = Answer::new("earfcn", input, title)
        .field("earfcn", n)
        .field("technology", "E-UTRA")
        .field("band", band.number)
        .field("bands", json!([band.number]))
        .field("name", format!("B{}", band.number))
        .field("duplex", band.duplex.name())
        .field("link", channel.link.name())
        .field("dl_mhz", khz(down))
        .field("ul_mhz", khz(up))
        .field("dl_earfcn", number(down))
        .field("ul_earfcn", number(up))
        .field("also_within_bands", json!(heard_on))
        .line("band", format!("B{} ({})", band.number, band.duplex.name()))
        .line("downlink", words(down))
        .line(
            "uplink",
            if band.duplex == Duplex::Tdd { "the same frequency".into() } else { words(up) },
        )
        .line(
            "also within",
            heard_on.iter().map(|b| format!("B{b}")).collect::<Vec<_>>().join(", "),
        );
    if let (Some(width), Some(centre)) = (width_khz, centre) {
        let edges = if down.is_some() { Some(band.downlink) } else { band.uplink };
        let fits = edges.is_some_and(|e| e.holds_channel(centre, width));
        let narrow = band.nb_iot && width == NB_IOT_KHZ;
        let allowed = narrow || band.bandwidths_khz.contains(&width);
        let half = width / 2;
        answer = answer
            .field("bandwidth_mhz", mhz(width))
            .field("channel_mhz", both(Edges { low_khz: centre - half, high_khz: centre + half }))
            .field("fits", fits)
            .field("bandwidth_supported", allowed)
            .line(
                "channel",
                format!(
                    "{} wide {}: {}{}",
                    format_args!("{} MHz", mhz(width)),
                    Edges { low_khz: centre - half, high_khz: centre + half },
                    if fits {
                        "fits in the band"
                    } else {
                        "reaches beyond the band, and must not be used"
                    },
                    if narrow {
                        " (the width of NB-IoT)"
                    } else if allowed {
                        ""
                    } else {
                        "; devices do not support this width in this band"
                    }
                ),
            );
    }
    Some((band.number, answer.source(band.source)))
}

fn both(edges: Edges) -> Value {
    super::band::both_mhz(Some(edges))
}

fn nr_answer(input: &str, n: u32, only: Option<u16>) -> Option<Answer> {
    let bands: Vec<_> =
        nr_bands_of_arfcn(n).into_iter().filter(|b| only.is_none_or(|o| o == b.number)).collect();
    let khz = khz_of(n)?;
    let Some(first) = bands.first() else {
        let likely = only.is_none() && n >= nr::FIRST_LIKELY;
        return likely.then(|| outside_every_band(input, n, khz));
    };
    let numbers: Vec<u16> = bands.iter().map(|b| b.number).collect();
    let on: Vec<u16> = bands.iter().filter(|b| b.on_raster(n)).map(|b| b.number).collect();
    let names = |list: &[u16]| list.iter().map(|b| format!("n{b}")).collect::<Vec<_>>().join(", ");
    let in_downlink = bands.iter().any(|b| b.downlink.is_some_and(|e| e.contains(khz)));
    let in_uplink = bands.iter().any(|b| b.uplink.is_some_and(|e| e.contains(khz)));
    let at = |there: bool| if there { mhz(khz).into() } else { Value::Null };
    Some(
        Answer::new(
            "nr-arfcn",
            input,
            format!("NR-ARFCN {n}: {} MHz, in {}", mhz(khz), names(&numbers)),
        )
        .field("nr_arfcn", n)
        .field("technology", "NR")
        .field("mhz", mhz(khz))
        .field("dl_mhz", at(in_downlink))
        .field("ul_mhz", at(in_uplink))
        .field("band", first.number)
        .field("bands", json!(numbers))
        .field("on_raster_of", json!(on))
        .field("duplex", first.duplex.name())
        .line("frequency", format!("{} MHz", mhz(khz)))
        .line("in the bands", names(&numbers))
        .line("on their raster", if on.is_empty() { "of none of them".into() } else { names(&on) })
        .source(first.source),
    )
}

/// A number of the global raster whose frequency no band of the table holds.
fn outside_every_band(input: &str, n: u32, khz: u32) -> Answer {
    Answer::new(
        "nr-arfcn",
        input,
        format!("NR-ARFCN {n}: {} MHz, on the global raster and in no band", mhz(khz)),
    )
    .field("nr_arfcn", n)
    .field("technology", "NR")
    .field("mhz", mhz(khz))
    .field("band", Value::Null)
    .field("bands", json!([]))
    .field("on_raster_of", json!([]))
    .field("clause", "TS 38.101-1 5.4.2.1; TS 38.101-2 5.4.2.1")
    .line("frequency", format!("{} MHz", mhz(khz)))
    .line("in the bands", "of the table: none")
    .line("source", "TS 38.101-1 5.4.2.1; TS 38.101-2 5.4.2.1")
}

fn utra(input: &str, n: u32) -> Vec<(u16, Answer)> {
    utra_channels(n)
        .into_iter()
        .map(|c| {
            let khz = |k: Option<(u32, u32)>| k.map_or(Value::Null, |(_, k)| mhz(k).into());
            let number = |k: Option<(u32, u32)>| k.map_or(Value::Null, |(n, _)| n.into());
            let words = |k: Option<(u32, u32)>| {
                k.map_or_else(String::new, |(n, k)| format!("{} MHz (UARFCN {n})", mhz(k)))
            };
            let answer = Answer::new(
                "uarfcn",
                input,
                format!("UARFCN {n}: UMTS band {} ({})", c.band.roman, c.link.name()),
            )
            .field("uarfcn", n)
            .field("technology", "UTRA")
            .field("band", c.band.number)
            .field("bands", json!([c.band.number]))
            .field("name", format!("UMTS {}", c.band.roman))
            .field("link", c.link.name())
            .field("duplex", "FDD")
            .field("dl_mhz", khz(c.downlink))
            .field("ul_mhz", khz(c.uplink))
            .field("dl_uarfcn", number(c.downlink))
            .field("ul_uarfcn", number(c.uplink))
            .line("downlink", words(c.downlink))
            .line("uplink", words(c.uplink))
            .source(c.band.source);
            (c.band.number, answer)
        })
        .collect()
}

fn gsm(input: &str, n: u32) -> Vec<(&'static str, Answer)> {
    gsm_bands_of_arfcn(n)
        .into_iter()
        .filter_map(|b| {
            let (up, down) = b.khz(n)?;
            let answer = Answer::new("arfcn", input, format!("ARFCN {n}: {}", b.name))
                .field("arfcn", n)
                .field("technology", "GSM")
                .field("name", b.name)
                .field("duplex", "FDD")
                .field("dl_mhz", mhz(down))
                .field("ul_mhz", mhz(up))
                .line("downlink", format!("{} MHz", mhz(down)))
                .line("uplink", format!("{} MHz", mhz(up)))
                .source(b.source);
            Some((b.name, answer))
        })
        .collect()
}
