//! `mastside commission`: a site held against its criteria, with a record and a report.

use super::{Exit, input};
use crate::capture::Capture;
use crate::case::Case;
use crate::commission::{self, Criteria, Outcome, Site};
use crate::report::plain;
use crate::survey::analysis::Analysis;
use std::fmt::Write;
use std::path::PathBuf;

/// Hold a site against its criteria, and make the record of the hand-over
///
/// Takes a survey of the site (`mastside survey record`, on a live modem or simulated) and the
/// capture of an examination. Each criterion is passed, failed or incomplete, with the measured
/// figure and its bounds.
///
/// Exit status: 0 passed, 1 failed, 3 incomplete, 2 unusable input.
#[derive(clap::Args, Debug)]
pub(super) struct Commission {
    /// The survey of the site
    survey: PathBuf,
    /// The capture of an examination, for access point, address, roaming, branches and identities
    #[arg(long, value_name = "FILE")]
    capture: Option<PathBuf>,
    /// The criteria; the shipped ones without it
    #[arg(long, value_name = "FILE")]
    criteria: Option<PathBuf>,
    /// Where to write the record (JSON)
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Where to write the report as a page
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Where to write the report as Markdown
    #[arg(long, value_name = "FILE")]
    markdown: Option<PathBuf>,
    /// The site's name
    #[arg(long, default_value = "")]
    site: String,
    /// The antenna
    #[arg(long, default_value = "")]
    antenna: String,
    /// Height of the antenna
    #[arg(long, default_value = "")]
    height: String,
    /// Where the antenna looks, degrees from north
    #[arg(long, default_value = "")]
    azimuth: String,
    /// The cable
    #[arg(long, default_value = "")]
    cable: String,
    /// File names of photographs
    #[arg(long)]
    photograph: Vec<String>,
    /// Who installed it
    #[arg(long, default_value = "")]
    installer: String,
}

impl Commission {
    pub(super) fn run(self) -> Exit {
        match self.all() {
            Ok(exit) => exit,
            Err(sentence) => {
                eprintln!("mastside: {}", plain(&sentence));
                Exit::Unusable
            }
        }
    }

    fn all(self) -> Result<Exit, String> {
        let at =
            |path: &PathBuf, error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
        let criteria = match &self.criteria {
            None => Criteria::shipped(),
            Some(path) => {
                let text = std::fs::read_to_string(path).map_err(|e| at(path, &e))?;
                Criteria::parse(&text).map_err(|e| at(path, &e))?
            }
        };
        let analysis = Analysis::read(&self.survey).map_err(|e| e.to_string())?;
        let mut evidence = vec![(
            self.survey.display().to_string(),
            std::fs::read(&self.survey).map_err(|e| at(&self.survey, &e))?,
        )];
        let text = match &self.capture {
            None => None,
            Some(path) => {
                let (text, _) =
                    input::texts(std::slice::from_ref(path)).map_err(|e| e.to_string())?;
                evidence.push((
                    path.display().to_string(),
                    std::fs::read(path).map_err(|e| at(path, &e))?,
                ));
                Some(text)
            }
        };
        let case = text.as_ref().map(|t| Case::read(&Capture::new(t)));
        let site = Site {
            name: self.site,
            antenna: self.antenna,
            height: self.height,
            azimuth: self.azimuth,
            cable: self.cable,
            photographs: self.photograph,
            installer: self.installer,
        };
        let record = commission::record(
            site,
            criteria,
            &analysis,
            case.as_ref(),
            &evidence,
            chrono::Local::now().to_rfc3339(),
        );
        let write = |path: &Option<PathBuf>, text: &str| match path {
            Some(path) => std::fs::write(path, text).map_err(|e| at(path, &e)),
            None => Ok(()),
        };
        let json = serde_json::to_string_pretty(&record).map_err(|e| e.to_string())?;
        write(&self.record, &(json + "\n"))?;
        write(&self.html, &commission::html(&record, &analysis))?;
        write(&self.markdown, &commission::markdown(&record))?;
        let mut page = String::new();
        for r in &record.results {
            // Writing to a string cannot fail.
            let _ = writeln!(page, "{:10}  {}", r.outcome.word(), plain(&r.criterion));
            let _ = writeln!(
                page,
                "            wanted {}; measured {}",
                plain(&r.wanted),
                plain(&r.measured)
            );
        }
        let _ = writeln!(page, "\nAll together: {}", record.outcome.word());
        super::print(&page).map_err(|e| e.to_string())?;
        Ok(match record.outcome {
            Outcome::Passed => Exit::Done,
            Outcome::Failed => Exit::Fault,
            Outcome::Incomplete => Exit::Unclear,
        })
    }
}
