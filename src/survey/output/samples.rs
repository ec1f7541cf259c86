//! Every sample as one row of a CSV, for programs that do their own statistics.

use super::field;
use crate::survey::reading::is_registered;
use crate::survey::sample::{Head, Sample};
use serde::Serialize;
use std::io;

#[derive(Debug, Serialize)]
struct Row<'a> {
    site: &'a str,
    number: u64,
    time_utc: String,
    pass: u32,
    spot: String,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    altitude_m: Option<f64>,
    accuracy_m: Option<f64>,
    heading_deg: Option<f64>,
    technology: &'a str,
    plmn: String,
    tac_hex: String,
    band: Option<u32>,
    channel: Option<u32>,
    pci: Option<u32>,
    cell_id: Option<u64>,
    rsrp_dbm: Option<f64>,
    rsrp_index: Option<u8>,
    rsrq_db: Option<f64>,
    rsrq_index: Option<u8>,
    sinr_db: Option<f64>,
    rssi_dbm: Option<f64>,
    registration_stat: Option<u8>,
    registered: Option<bool>,
    bandwidth_mhz: Option<f64>,
    took_ms: u32,
    simulated: bool,
}

/// The table while it is written.
pub struct SampleTable<W: io::Write> {
    writer: ::csv::Writer<W>,
}

impl<W: io::Write> SampleTable<W> {
    /// An empty table; its header comes with the first sample.
    pub fn new(out: W) -> Self {
        let writer =
            ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(out);
        Self { writer }
    }

    /// Writes one sample.
    ///
    /// # Errors
    ///
    /// What the output says.
    pub fn write(&mut self, site: &str, head: &Head, sample: &Sample) -> io::Result<()> {
        let place = sample.position;
        let (cell, levels) = (&sample.cell, &sample.levels);
        let site = field(site);
        let technology = field(&cell.technology);
        self.writer
            .serialize(Row {
                site: &site,
                number: sample.number,
                time_utc: sample.at.format("%Y-%m-%dT%H:%M:%S%.3fZ").to_string(),
                pass: sample.pass,
                spot: field(&sample.spot),
                latitude_deg: place.map(|p| p.latitude),
                longitude_deg: place.map(|p| p.longitude),
                altitude_m: place.and_then(|p| p.altitude_m),
                accuracy_m: place.and_then(|p| p.accuracy_m),
                heading_deg: sample.heading_deg,
                technology: &technology,
                plmn: field(&cell.plmn),
                tac_hex: field(&cell.tac_hex),
                band: cell.band,
                channel: cell.channel,
                pci: cell.pci,
                cell_id: cell.cell_id,
                rsrp_dbm: levels.rsrp_dbm,
                rsrp_index: levels.rsrp_index,
                rsrq_db: levels.rsrq_db,
                rsrq_index: levels.rsrq_index,
                sinr_db: levels.sinr_db,
                rssi_dbm: levels.rssi_dbm,
                registration_stat: sample.registration,
                registered: sample.registration.map(is_registered),
                bandwidth_mhz: sample.bandwidth_mhz,
                took_ms: sample.took_ms,
                simulated: head.rehearsal,
            })
            .map_err(io::Error::other)
    }

    /// Writes what is left.
    ///
    /// # Errors
    ///
    /// What the output says.
    pub fn finish(mut self) -> io::Result<()> {
        self.writer.flush()
    }
}
