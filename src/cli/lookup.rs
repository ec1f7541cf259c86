//! `mastside lookup`: single questions about bands, channels, causes, identities and commands.

use super::Exit;
use crate::lookup::{self, Answer, Found, Problem};
use crate::reference::causes::CauseList;
use clap::{Args, Subcommand, ValueEnum};
use serde_json::{Value, json};

/// Look up a band, a channel, a cause, an error, an index, an identity or a command
///
/// A plain word is taken for everything that it may be. Every answer names its source and says
/// where that is not verified.
///
/// Exit status: 0 answered, 1 the number is not sound (a check digit, an unassigned value),
/// 2 no such thing.
#[derive(Args, Debug)]
pub(super) struct Lookup {
    #[command(subcommand)]
    what: Option<What>,

    /// Words to be taken for everything that they may be: emm 15, csq 17, rsrp -98, PSM
    #[arg(value_name = "WORD", allow_negative_numbers = true)]
    words: Vec<String>,

    /// How to print the answer
    #[arg(long, value_enum, default_value_t, global = true)]
    format: Format,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For people
    #[default]
    Text,
    /// One JSON object
    Json,
}

#[derive(Subcommand, Debug)]
enum What {
    /// An operating band: 20, B20, n78, UMTS8, GSM900
    Band { name: String },
    /// What a channel number names (EARFCN, NR-ARFCN, UARFCN, ARFCN)
    #[command(alias = "channel")]
    Earfcn {
        number: String,
        /// The band, where one number serves in several systems
        #[arg(long)]
        band: Option<String>,
        /// The width of the channel in MHz, to see whether it fits
        #[arg(long, value_name = "MHZ")]
        bandwidth: Option<f64>,
    },
    /// What a channel number names in GSM, in every band that has it
    Arfcn { number: String },
    /// Every band and channel number of a frequency in MHz
    #[command(alias = "freq")]
    Frequency { mhz: String },
    /// The bands of a mask (one word or two, lower bands first), or the mask of bands: B1 B3 B20
    Mask {
        #[arg(required = true, num_args = 1..=64)]
        words: Vec<String>,
        /// The number is decimal
        #[arg(long)]
        decimal: bool,
    },
    /// A cause that a network gave: emm 15, esm 27, 5gmm 3, or the number alone
    Cause {
        #[arg(required = true, num_args = 1..=2, value_name = "LIST NUMBER")]
        words: Vec<String>,
    },
    /// An error of the module: cme 10, cms 500, or the number alone
    Error {
        #[arg(required = true, num_args = 1..=2, value_name = "LIST NUMBER")]
        words: Vec<String>,
    },
    /// The level of an index: csq 17, rsrp 48, ss-sinr 60
    Index { map: String, number: String },
    /// What a level means in the trade: rsrp -98
    Level {
        quantity: String,
        #[arg(allow_negative_numbers = true, allow_hyphen_values = true)]
        level: String,
    },
    /// The parts of a subscriber number
    Imsi {
        digits: String,
        /// Digits of the network code, where the card's AD file gives them
        #[arg(long, value_parser = clap::value_parser!(u8).range(2..=3))]
        mnc_digits: Option<u8>,
    },
    /// A card number and its check digit
    Iccid { digits: String },
    /// An equipment number and its check digit
    Imei { digits: String },
    /// A network code: 00101, 001-01, or three bytes as on the card
    Plmn { code: String },
    /// A mobile country code, or the codes of a country
    Country { code: String },
    /// A file of the card, and what its bytes say
    File { id: String, bytes: Option<String> },
    /// The grammar of a command and the meaning of its values
    Command {
        #[arg(allow_hyphen_values = true)]
        name: String,
    },
    /// A timer of the mobility layers: T3402
    Timer { name: String },
    /// What a word or phrase of a log states: EMM-DEREGISTERED, limited service
    Status {
        #[arg(required = true, value_name = "WORD")]
        words: Vec<String>,
    },
}

impl Lookup {
    pub(super) fn run(self) -> Exit {
        let Some(answers) = self.ask() else {
            eprintln!(
                "mastside: name something to look up, as in `mastside lookup band 20`; --help lists the kinds"
            );
            return Exit::Unusable;
        };
        match answers {
            Ok(answers) => show(&answers, self.format),
            Err(problem) => self.refuse(&problem),
        }
    }

    fn ask(&self) -> Option<Result<Vec<Answer>, Problem>> {
        let one = |found: Found| found.map(|a| vec![a]);
        let Some(what) = &self.what else {
            return (!self.words.is_empty()).then(|| lookup::guess(&self.words.join(" ")));
        };
        Some({
            match what {
                What::Band { name } => lookup::band(name),
                What::Earfcn { number, band, bandwidth } => match bandwidth.map(khz).transpose() {
                    Ok(width) => lookup::channel(number, band.as_deref(), width),
                    Err(problem) => Err(problem),
                },
                What::Frequency { mhz } => one(lookup::frequency(mhz)),
                What::Mask { words, decimal } => lookup::mask(words, *decimal),
                What::Arfcn { number } => lookup::arfcn(number),
                What::Status { words } => lookup::status(&words.join(" ")),
                What::Cause { words } => cause(words),
                What::Error { words } => error(words),
                What::Index { map, number } => one(lookup::index(map, number)),
                What::Level { quantity, level } => one(lookup::level(quantity, level)),
                What::Imsi { digits, mnc_digits } => one(lookup::imsi(digits, *mnc_digits)),
                What::Iccid { digits } => one(lookup::iccid(digits)),
                What::Imei { digits } => one(lookup::imei(digits)),
                What::Plmn { code } => one(lookup::plmn(code)),
                What::Country { code } => one(lookup::country(code)),
                What::File { id, bytes } => one(lookup::file(id, bytes.as_deref())),
                What::Command { name } => lookup::command(name),
                What::Timer { name } => {
                    let found = lookup::timer(name);
                    if found.is_empty() {
                        Err(Problem::new(format!(
                            "the table has no timer `{name}`; write it as in T3402"
                        )))
                    } else {
                        Ok(found)
                    }
                }
            }
        })
    }

    fn refuse(&self, problem: &Problem) -> Exit {
        let nearest =
            problem.nearest.as_ref().map_or_else(String::new, |n| format!("; the nearest is {n}"));
        eprintln!("mastside: {}", crate::sanitize::plain(&format!("{problem}{nearest}")));
        if self.format == Format::Json {
            let object =
                json!({"valid": false, "problem": problem.sentence, "nearest": problem.nearest});
            // The status tells that there is no answer, whether or not this could be printed.
            let _ = super::print(&format!("{object}\n"));
        }
        Exit::Unusable
    }
}

fn khz(mhz: f64) -> Result<u32, Problem> {
    if !(0.1..=100.0).contains(&mhz) {
        return Err(
            Problem::new("a channel width lies between 0.2 MHz (NB-IoT) and 20 MHz").near(20)
        );
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 100 000")]
    Ok((mhz * 1000.0).round() as u32)
}

fn cause(words: &[String]) -> Result<Vec<Answer>, Problem> {
    match words {
        [number] => lookup::cause(None, number),
        [list, number, ..] => {
            if let Some(list) = CauseList::named(list.trim_start_matches('#')) {
                lookup::cause(Some(list), number)
            } else {
                let names: Vec<_> = CauseList::ALL.iter().map(|l| l.word()).collect();
                Err(Problem::new(format!(
                    "there is no list of causes `{list}`; there are {}",
                    names.join(", ")
                )))
            }
        }
        [] => Err(Problem::new("name a cause, as in `cause emm 15`")),
    }
}

fn error(words: &[String]) -> Result<Vec<Answer>, Problem> {
    match words {
        [number] => lookup::error(None, number),
        [list, number, ..] if ["cme", "cms"].iter().any(|l| list.eq_ignore_ascii_case(l)) => {
            lookup::error(Some(list), number)
        }
        _ => Err(Problem::new("the lists of errors are cme and cms, as in `error cme 10`")),
    }
}

fn show(answers: &[Answer], format: Format) -> Exit {
    let page = match format {
        Format::Text => {
            answers.iter().map(|a| a.text(super::width())).collect::<Vec<_>>().join("\n")
        }
        Format::Json => {
            let mut object = answers.first().map_or(Value::Null, Answer::json);
            if let (Value::Object(object), true) = (&mut object, answers.len() > 1) {
                object.insert("readings".into(), answers.iter().map(Answer::json).collect());
            }
            match serde_json::to_string_pretty(&object) {
                Ok(text) => text + "\n",
                Err(error) => {
                    eprintln!("mastside: the answer could not be written: {error}");
                    return Exit::Unusable;
                }
            }
        }
    };
    match super::print(&page) {
        Ok(()) if answers.iter().any(|a| a.valid) => Exit::Done,
        Ok(()) => Exit::Fault,
        Err(_) => Exit::Unusable,
    }
}
