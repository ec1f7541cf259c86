//! `mastside commission`: a site held against its criteria, with a record and a report.

use super::{Exit, input, live, refuse, system};
use crate::at::Client;
use crate::capture::Capture;
use crate::case::Case;
use crate::commission::{self, Criteria, Outcome, Site, Watch};
use crate::live::{Journal, examine};
use crate::port::Recorder;
use crate::sanitize::plain;
use crate::survey::analysis::Analysis;
use crate::survey::file::SurveyFile;
use crate::survey::live::Live;
use crate::survey::sample::Head;
use crate::survey::take::take;
use crate::survey::visits;
use std::fmt::Write;
use std::path::PathBuf;
use std::time::Duration;

/// Hold a site against its criteria, and make the record of the hand-over
///
/// With a modem on the line (`--live`, or a port named) the visit is made at once: the modem is
/// examined, begun anew where that is asked for, and watched until the criteria are settled.
/// Without one, a survey and the capture of an examination that were made before are taken. Each
/// criterion is passed, failed or incomplete, with the measured figure and its bounds.
///
/// Exit status: 0 passed, 1 failed, 3 incomplete, 2 unusable input.
#[derive(clap::Args, Debug)]
pub(super) struct Commission {
    /// The survey of the site; with a modem on the line, samples are added to it
    survey: PathBuf,
    #[command(flatten)]
    line: live::LineArguments,
    /// Make the visit now, looking for the modem's port where none is named
    #[arg(long)]
    live: bool,
    /// Restart the modem first, for the restart time; the link drops
    #[arg(long)]
    restart: bool,
    /// Make a fresh attach first, for the attach time; the link drops
    #[arg(long)]
    reattach: bool,
    /// Watch no longer than this, even where a level is too near to its mark to tell
    #[arg(long, value_name = "SECONDS", default_value_t = 600)]
    longest: u64,
    /// The capture of an examination, for access point, address, roaming, branches and identities;
    /// with a modem on the line, where to save its dialogue
    #[arg(long, value_name = "FILE")]
    capture: Option<PathBuf>,
    /// A directory with carrier profiles
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
    profiles: Vec<PathBuf>,
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
    #[arg(long, default_value = "", hide_default_value = true)]
    site: String,
    /// The antenna
    #[arg(long, default_value = "", hide_default_value = true)]
    antenna: String,
    /// Height of the antenna
    #[arg(long, default_value = "", hide_default_value = true)]
    height: String,
    /// Where the antenna looks, degrees from north
    #[arg(long, default_value = "", hide_default_value = true)]
    azimuth: String,
    /// The cable
    #[arg(long, default_value = "", hide_default_value = true)]
    cable: String,
    /// File names of photographs
    #[arg(long)]
    photograph: Vec<String>,
    /// Who installed it
    #[arg(long, default_value = "", hide_default_value = true)]
    installer: String,
}

impl Commission {
    pub(super) fn run(self) -> Exit {
        match self.all() {
            Ok(exit) => exit,
            Err(sentence) => refuse(&sentence),
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
        let capture = if self.live || self.line.is_named() {
            Some(self.visit(&criteria)?)
        } else if self.restart || self.reattach {
            return Err(
                "a restart or a fresh attach needs a modem: name its port, or --live".into()
            );
        } else {
            self.capture.clone()
        };
        let analysis = self.judged()?;
        let mut evidence = vec![(
            self.survey.display().to_string(),
            std::fs::read(&self.survey).map_err(|e| at(&self.survey, &e))?,
        )];
        let text = match &capture {
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
            chrono::Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false),
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
            let of =
                if r.spot.is_empty() { String::new() } else { format!("{}: ", plain(&r.spot)) };
            let _ = writeln!(page, "{:10}  {of}{}", r.outcome.word(), plain(&r.criterion));
            let _ = writeln!(
                page,
                "            wanted {}; measured {}",
                plain(&r.wanted),
                plain(&r.measured)
            );
        }
        let simulated = if record.simulated { " (simulated samples)" } else { "" };
        let _ = writeln!(page, "\nAll together: {}{simulated}", record.outcome.word());
        super::print(&page).map_err(|e| e.to_string())?;
        Ok(match record.outcome {
            Outcome::Passed => Exit::Done,
            Outcome::Failed => Exit::Fault,
            Outcome::Incomplete => Exit::Unclear,
        })
    }

    /// The samples that are judged: those of the latest visit in the survey.
    fn judged(&self) -> Result<Analysis, String> {
        let mut visits = visits::read(&self.survey).map_err(|e| e.to_string())?;
        visits.iter().for_each(super::survey::tell_problems);
        let latest = visits.pop().ok_or("the survey has no visit")?;
        if !visits.is_empty() {
            eprintln!("The survey has {} visits; the latest one is judged.", visits.len() + 1);
        }
        Ok(latest.analysis)
    }

    /// Makes the visit: the dialogue goes to a capture file, whose path is given back, the samples
    /// to the survey file.
    fn visit(&self, criteria: &Criteria) -> Result<PathBuf, String> {
        let silent = |_| "nothing was measured".to_owned();
        if self.restart || self.reattach {
            self.line.may_drop().map_err(silent)?;
        }
        let (name, mut port) = self.line.open().map_err(silent)?;
        let journal = Journal::of_user(&name);
        let (path, recorder) =
            live::recorder(self.capture.as_ref(), "commission").map_err(silent)?;
        let head = Head {
            title: self.site.clone(),
            antenna: self.antenna.clone(),
            with_index: true,
            ..Head::default()
        };
        let (mut file, found) = SurveyFile::open(&self.survey, &head).map_err(|e| e.to_string())?;
        super::survey::tell_found(found);
        let stop = system::stop_flag();
        let mut shown = live::Shown::new();
        {
            let mut client = Client::new(port.as_mut(), recorder, &stop).telling(live::told);
            let (profiles, _) = super::carrier::load(&self.profiles);
            let run = examine(&mut client, &profiles, self.line.may_search(), &mut shown);
            for setting in &run.not_restored {
                eprintln!("mastside: this setting could not be put back: {setting}");
            }
            if let Some(error) = run.ended {
                return Err(error.to_string());
            }
            if !run.answered {
                return Err("nothing answers at the modem's port".into());
            }
            commission::identify(&mut client, &mut shown).map_err(|e| e.to_string())?;
            commission::begin_anew_by_name(
                &mut client,
                self.restart,
                self.reattach,
                &journal,
                &mut shown,
            )
            .map_err(|e| e.to_string())?;
        }
        let mut client = Client::new(port.as_mut(), Recorder::new(), &stop).telling(live::told);
        let mut source =
            Live::begin(&mut client, self.line.may_search()).map_err(|e| e.to_string())?;
        let mut watch = Watch::new(criteria, Duration::from_secs(self.longest));
        let mut go_on = |sample: &_, _| {
            let more = watch.take(sample);
            shown.say(&watch.line());
            more
        };
        let pass = found.pass + 1;
        let taken = take(&mut source, &mut file, pass, &self.site, None, &stop, &mut go_on);
        live::told_left(&source.end());
        shown.clear();
        taken.map_err(|e| e.to_string())?;
        eprintln!(
            "The dialogue is in {}, the samples in {}.",
            plain(&path.display().to_string()),
            plain(&self.survey.display().to_string())
        );
        Ok(path)
    }
}
