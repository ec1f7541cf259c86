//! Signal as measurement: samples of a live modem at spots, kept line by line, and what they say.
//!
//! ```text
//! modem ──► reading ──► Sample ──► survey file ──► Analysis ──► tables · CSV · GeoJSON · GPX · HTML
//! receiver ─► position ──┘            (JSON Lines)   (streaming, bounded memory)
//! ```
//!
//! | file | owns |
//! | --- | --- |
//! | `head` | the first line of the survey file: site and visit |
//! | `sample` | the other lines: samples and marks |
//! | `check` | which samples can be trusted |
//! | `file` | the survey file: appending, torn tails, reading |
//! | `position` | where a sample was taken: NMEA sentences |
//! | `reading` | what the modem said, asked with reads that change nothing |
//! | `simulate` | a simulated place with masts, antenna and fading, whose truth is known |
//! | `trace` | a level over time, thinned |
//! | `spot` | one spot: its cells, their series, what else is heard |
//! | `analysis` | all samples of a file, by spot and cell, in one pass |
//! | `visits` | which samples belong to one visit of one site, in files and folders |
//! | `limits` | noise or interference, and the rate that could be had |
//! | `take` | samples taken from a source into the file |
//! | `live` | a live modem as a source |
//! | `output` | tables, CSV, GeoJSON, GPX and the page |

pub mod analysis;
pub mod check;
pub mod file;
pub mod head;
pub mod limits;
pub mod live;
pub mod output;
pub mod position;
pub mod reading;
pub mod sample;
pub mod simulate;
pub mod spot;
pub mod take;
pub mod trace;
pub mod visits;
