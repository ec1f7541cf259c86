//! Samples taken from a source into a survey file, each on the disk before it counts.

use super::file::SurveyFile;
use super::position::Latest;
use super::reading::Source;
use super::sample::{Line, Mark, MarkKind, Sample, moment};
use std::sync::atomic::{AtomicBool, Ordering};

/// So many readings in a row may fail before the taking ends.
const MOST_FAILURES: u32 = 5;

/// Why no more samples can be taken.
#[derive(Debug, thiserror::Error)]
#[error("{why}; {taken} samples are recorded")]
pub struct TakeError {
    /// What went wrong.
    pub why: String,
    /// Samples that are in the file from this pass.
    pub taken: u64,
}

/// Takes samples as one pass until the source has no more, `stop` is set, or `go_on`, which is given
/// each recorded sample and how many there are, says no. Samples without a spot of their own get
/// `spot`; `positions` places them. Gives the number of samples.
///
/// # Errors
///
/// [`TakeError`] where the file cannot be written, or the source failed several times in a row.
pub fn take(
    source: &mut dyn Source,
    file: &mut SurveyFile,
    pass: u32,
    spot: &str,
    positions: Option<&Latest>,
    stop: &AtomicBool,
    go_on: &mut dyn FnMut(&Sample, u64) -> bool,
) -> Result<u64, TakeError> {
    let mark = |kind, text: String| Line::Mark(Mark { at: moment(chrono::Utc::now()), kind, text });
    let mut taken = 0;
    let mut failures = 0;
    let lost = |error: std::io::Error, taken| TakeError { why: error.to_string(), taken };
    file.append(&mark(MarkKind::PassBegins, pass.to_string())).map_err(|e| lost(e, taken))?;
    while !stop.load(Ordering::Relaxed) {
        let reading = match source.read() {
            Ok(Some(reading)) => reading,
            Ok(None) => break,
            Err(error) => {
                failures += 1;
                file.append(&mark(MarkKind::NoAnswer, error.to_string()))
                    .map_err(|e| lost(e, taken))?;
                if failures >= MOST_FAILURES {
                    return Err(lost(error, taken));
                }
                continue;
            }
        };
        failures = 0;
        let place = positions.and_then(Latest::now);
        let mut sample = Sample::of(reading, file.next_number(), pass, place);
        if sample.spot.is_empty() {
            spot.clone_into(&mut sample.spot);
        }
        file.append(&Line::Sample(sample.clone())).map_err(|e| lost(e, taken))?;
        taken += 1;
        if !go_on(&sample, taken) {
            break;
        }
    }
    file.append(&mark(MarkKind::PassEnds, pass.to_string())).map_err(|e| lost(e, taken))?;
    Ok(taken)
}
