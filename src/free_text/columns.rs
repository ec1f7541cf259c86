//! Tables with a header: samples over time, and lists of cells.
//!
//! ```text
//! time,rsrp_dbm,rsrq_db,sinr_db            plmn    band  earfcn  pci   rsrp
//! 10:00:00,-97,-11,6                       00101   20    6200    14    -86
//! ```
//!
//! A table with a column of times holds samples of this modem, a row each. One with a column that tells cells apart,
//! and more than one row, holds what is heard. Common practice, no source.

use super::heard::Heard;
use super::readings;
use super::settings::technology;
use super::{meaning, values};
use crate::case::{Cell, Domain, Fact, Facts, Power, Quantity, Rat, Registration};
use crate::reference::bands::lte_band_of_earfcn;
use crate::reference::status_words::State;
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// A table that is being read.
#[derive(Debug, Default)]
pub(super) struct Columns {
    header: Option<Header>,
    rows: Vec<(Vec<String>, Span)>,
}

#[derive(Debug)]
struct Header {
    labels: Vec<String>,
    mark: Mark,
    timed: bool,
    cells: bool,
}

/// What parts the cells of a row.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Mark {
    Char(char),
    Blanks,
}

/// So many rows of a list of cells are kept.
const MOST_ROWS: usize = 64;

const LEVELS: [(&str, Quantity); 9] = [
    ("rsrp", Quantity::Rsrp),
    ("ssrsrp", Quantity::Rsrp),
    ("rsrq", Quantity::Rsrq),
    ("ssrsrq", Quantity::Rsrq),
    ("sinr", Quantity::Sinr),
    ("sssinr", Quantity::Sinr),
    ("snr", Quantity::Sinr),
    ("rssi", Quantity::Rssi),
    ("rscp", Quantity::Rscp),
];

impl Columns {
    /// Reads a line in small letters; whether it is one of a table.
    pub(super) fn read(
        &mut self,
        lower: &str,
        base: usize,
        listed: bool,
        heard: &mut Heard,
        facts: &mut Facts,
    ) -> bool {
        let span = Span::new(base, base + lower.trim_end().len());
        if let Some(header) = &self.header {
            let cells = cells(lower, header.mark);
            let rule =
                lower.trim().bytes().all(|b| matches!(b, b'-' | b'+' | b'|' | b'=' | b' ' | b':'));
            if rule {
                return true;
            }
            if cells.len() == header.labels.len() && lower.bytes().any(|b| b.is_ascii_digit()) {
                if header.cells && !header.timed {
                    if self.rows.len() < MOST_ROWS {
                        self.rows.push((cells.iter().map(|c| (*c).to_owned()).collect(), span));
                    }
                } else {
                    sample(&header.labels, &cells, span, facts);
                }
                return true;
            }
            self.end(listed, heard, facts);
        }
        self.header = header(lower);
        self.header.is_some()
    }

    /// Reads what only the whole table shows: whether its rows are cells that are heard, or the one in use.
    pub(super) fn end(&mut self, listed: bool, heard: &mut Heard, facts: &mut Facts) {
        let Some(header) = self.header.take() else { return };
        let rows = std::mem::take(&mut self.rows);
        if let ([(cells, span)], false) = (&rows[..], listed) {
            let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
            return sample(&header.labels, &cells, *span, facts);
        }
        for (cells, span) in &rows {
            for (label, cell) in header.labels.iter().zip(cells) {
                let band = match label.as_str() {
                    "band" => readings::band(cell),
                    "earfcn" => cell.parse().ok().and_then(lte_band_of_earfcn).map(|b| b.number),
                    _ => None,
                };
                if let Some(band) = band {
                    heard.band(band, *span);
                    heard.technology(Rat::Lte);
                }
                if let Some(rat) = technology(cell) {
                    heard.technology(rat);
                }
            }
        }
    }
}

/// The cells of a row.
fn cells(line: &str, mark: Mark) -> Vec<&str> {
    let line = line.trim().trim_matches('|');
    match mark {
        Mark::Char(c) => line.split(c).map(|cell| cell.trim().trim_matches('"')).collect(),
        Mark::Blanks => line.split_ascii_whitespace().collect(),
    }
}

/// The label of a column: its letters and digits, without a unit behind it.
fn label(cell: &str) -> String {
    let bare = cell.split(['(', '[']).next().unwrap_or(cell).trim();
    let bare = bare.strip_suffix("_dbm").or_else(|| bare.strip_suffix("_db")).unwrap_or(bare);
    bare.chars().filter(char::is_ascii_alphanumeric).collect()
}

fn quantity(label: &str) -> Option<Quantity> {
    let level = LEVELS.iter().find(|(name, _)| *name == label).map(|(_, quantity)| *quantity);
    level.or_else(|| of_module(label, &["temp", "temperature"]).then_some(Quantity::Temperature))
}

/// Whether a column is one of the modem itself: `modem_temp_c`, `thermal_state`; a name of another part stands for
/// that part.
fn of_module(label: &str, nouns: &[&str]) -> bool {
    let bare =
        ["modem", "module"].iter().find_map(|owner| label.strip_prefix(owner)).unwrap_or(label);
    let unit = |rest: &str| matches!(rest, "" | "c" | "degc" | "celsius");
    nouns.iter().any(|noun| bare.strip_prefix(noun).is_some_and(unit))
}

/// Whether a column has words for the heat of the modem.
fn is_thermal(label: &str) -> bool {
    of_module(label, &["thermal", "thermalstate", "thermalstatus", "tempstate", "tempstatus"])
}

/// The level of one receive branch: `rsrp_main`, `div_rsrp`.
fn branch(label: &str) -> Option<(u8, Quantity)> {
    LEVELS.iter().find_map(|(name, quantity)| {
        let rest = label.strip_prefix(name).or_else(|| label.strip_suffix(name))?;
        let port = [List::FirstBranch, List::SecondBranch]
            .iter()
            .position(|list| words_of(*list).iter().any(|word| word.replace(' ', "") == rest))?;
        Some((u8::from(port == 1), *quantity))
    })
}

/// A line of labels: none begins with a digit, and two of them at least are known.
fn header(lower: &str) -> Option<Header> {
    if lower.contains(['=', '{'])
        || !["rs", "csq", "reg", "temp", "therm"].iter().any(|noun| lower.contains(noun))
    {
        return None;
    }
    let mark = [',', ';', '|', '\t']
        .into_iter()
        .find(|c| lower.trim().trim_matches('|').contains(*c))
        .map_or(Mark::Blanks, Mark::Char);
    if mark == Mark::Blanks && lower.contains(':') {
        return None;
    }
    let cells = cells(lower, mark);
    let plain = |cell: &&str| {
        !cell.is_empty() && !cell.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+')
    };
    if cells.len() < 2 || !cells.iter().all(|c| plain(c) && c.split_ascii_whitespace().count() <= 3)
    {
        return None;
    }
    let labels: Vec<String> = cells.iter().map(|cell| label(cell)).collect();
    let among = |list: &[&str]| labels.iter().any(|l| list.contains(&l.as_str()));
    let measures =
        labels.iter().any(|l| measured(l) || l == "csq") || among(words_of(List::ColumnState));
    let timed = among(words_of(List::ColumnTime));
    let known = labels
        .iter()
        .filter(|l| {
            let l = l.as_str();
            measured(l)
                || ["csq", "band", "rat", "tac", "lac", "mcc", "mnc", "tech", "ber", "act"]
                    .contains(&l)
                || words_of(List::ColumnState).contains(&l)
                || words_of(List::ColumnCell).contains(&l)
                || words_of(List::ColumnTime).contains(&l)
        })
        .count();
    let cells = among(words_of(List::ColumnCell));
    (measures && known >= 2).then_some(Header { labels, mark, timed, cells })
}

/// Whether a column tells of level, quality or heat.
fn measured(label: &str) -> bool {
    quantity(label).is_some() || branch(label).is_some() || is_thermal(label)
}

/// Reads a row of this modem.
fn sample(labels: &[String], cells: &[&str], span: Span, facts: &mut Facts) {
    for (label, cell) in labels.iter().zip(cells) {
        let number =
            || cell.trim_end_matches("dbm").trim_end_matches("db").trim().parse::<f64>().ok();
        if let Some(quantity) = quantity(label) {
            // Levels are negative; a positive number is an index.
            let fits =
                |v: &f64| *v < 0.0 || matches!(quantity, Quantity::Sinr | Quantity::Temperature);
            if let Some(value) = number().filter(fits) {
                facts.number(quantity, value, Cell::Serving, span);
            }
            continue;
        }
        if let Some((port, quantity)) = branch(label) {
            if let Some(value) = number().filter(|v| *v < 0.0 || quantity == Quantity::Sinr) {
                facts.push(Fact::Port(port, quantity, Some(value)), span);
            }
            continue;
        }
        if is_thermal(label) && words_of(List::TooHot).contains(cell) {
            facts.push(Fact::Power(Power::Temperature), span);
        }
        match label.as_str() {
            "csq" => match number() {
                Some(99.0) => facts.push(Fact::no_value(Quantity::Rssi, Cell::Serving), span),
                Some(index) if (0.0..=31.0).contains(&index) && index.fract() == 0.0 => {
                    facts.number(Quantity::Rssi, 2.0 * index - 113.0, Cell::Serving, span);
                }
                _ => {}
            },
            "band" => {
                if let Some(band) = readings::band(cell) {
                    facts.number(Quantity::Band, f64::from(band), Cell::Serving, span);
                }
            }
            "earfcn" | "pci" => {
                let quantity = if label == "pci" { Quantity::Pci } else { Quantity::Earfcn };
                if let Some(value) = number() {
                    facts.number(quantity, value, Cell::Serving, span);
                }
            }
            "creg" | "cereg" | "cgreg" => {
                if let Ok(stat @ 0..=10) = cell.parse::<u8>() {
                    let domain = match label.as_str() {
                        "creg" => Domain::Circuit,
                        "cgreg" => Domain::Packet,
                        _ => Domain::Eps,
                    };
                    facts.push(
                        Fact::Registration(Registration {
                            domain,
                            stat,
                            act: None,
                            unsolicited: false,
                        }),
                        span,
                    );
                    facts.number(Quantity::RegistrationStat, f64::from(stat), Cell::Serving, span);
                }
            }
            "reg" | "registration" | "stat" | "state" | "status" => {
                if let Some(state) = values::registration(cell, &[]) {
                    meaning::note(State::Registration(state), None, span, facts);
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<Fact> {
        let (mut columns, mut heard, mut facts) =
            (Columns::default(), Heard::default(), Facts::default());
        for line in text.lines() {
            columns.read(line, 0, false, &mut heard, &mut facts);
        }
        columns.end(false, &mut heard, &mut facts);
        heard.finish(&mut facts);
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn samples_over_time_are_the_modems_and_the_last_comes_last() {
        let found = read("time,rsrp_dbm,sinr_db,reg\n10:00,-97,6.5,home\n10:01,-99,5,home\n");
        let levels: Vec<_> = found.iter().filter_map(Fact::as_number).collect();
        assert_eq!(levels[2], (Quantity::Rsrp, -99.0, Cell::Serving));
        assert_eq!(found.last(), Some(&Fact::ReportedState(1)));
    }

    #[test]
    fn a_list_of_cells_is_what_is_heard() {
        let found = read("plmn   band  earfcn  rsrp\n99970  20  6200  -86\n99970  8  3500  -84\n");
        assert_eq!(found, [Fact::HeardBands(vec![20, 8]), Fact::HeardTechnologies(vec![Rat::Lte])]);
        let one = read("pci | band | rsrp\n14 | 20 | -86\n");
        assert!(one.contains(&Fact::number(Quantity::Pci, 14.0, Cell::Serving)));
    }

    #[test]
    fn heat_and_the_branches_of_the_receiver() {
        let hot =
            read("utc;module_temperature;thermal_state\n10:00;62;normal\n11:00;97;shutdown\n");
        assert!(hot.contains(&Fact::Power(Power::Temperature)), "{hot:?}");
        assert!(hot.contains(&Fact::number(Quantity::Temperature, 97.0, Cell::Serving)), "{hot:?}");
        let cool = read("utc;room_temp;thermal_state\n10:00;96;normal\n");
        assert_eq!(cool, []);
        let branches = read("utc,band,rsrp_main,rsrp_div\n10:00,3,-117,-88\n");
        assert!(branches.contains(&Fact::Port(0, Quantity::Rsrp, Some(-117.0))), "{branches:?}");
        assert!(branches.contains(&Fact::Port(1, Quantity::Rsrp, Some(-88.0))), "{branches:?}");
    }

    #[test]
    fn a_sentence_is_no_header() {
        assert_eq!(read("rsrp was low, csq was fine\n10, 20\n"), []);
    }
}
