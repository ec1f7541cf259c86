//! `!PCINFO`, `!PCTEMP`, `!IMPREF`: what holds the radio off, the temperature, and the firmware
//! image with its settings.
//!
//! ```text
//! State: Low Power Mode
//! LPM voters - Temp:0, Volt:0, User:0, W_DISABLE:1, IMSWITCH:0, BIOS:0, …
//! Temperature: 39.00 C
//! current carrier name: <name>
//! ```

use crate::case::{Fact, Facts, Holder, Quantity, Service};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{ContinuationLine, Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["!PCINFO", "!PCTEMP", "!IMPREF"],
    request: "!PCINFO?",
    source: "maker's command",
    about: "what holds the radio off, temperature, firmware image",
    yields: &[Quantity::Temperature],
    read,
};

/// The labels of the line that names what holds the radio off, by firmware.
const VOTES: [&str; 2] = ["LPM voters", "LPM force flags"];

/// Whether a line begins the reply.
pub(super) fn begins(line: &str) -> bool {
    VOTES.iter().any(|label| line.starts_with(label))
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    // The replies are kept apart by their labels; an empty one says nothing.
    pen.understood();
    for line in reply.tail {
        labelled(&mut pen, line);
    }
    pen.done()
}

fn labelled(pen: &mut FactWriter<'_>, line: &ContinuationLine<'_>) {
    let text = line.text.trim();
    if let Some(votes) = VOTES.iter().find_map(|label| text.strip_prefix(label)) {
        let from = line.span.start + line.text.find(votes).unwrap_or(0);
        return voters(pen, votes, from);
    }
    let Some((label, value)) = text.split_once(':') else { return };
    let value = value.trim();
    match label.trim().to_ascii_lowercase().as_str() {
        "state" if is_off(value) => {
            pen.fact(Fact::Service(Service::RadioOff), line.span);
        }
        "temperature" => {
            if let Some(degrees) = number(value) {
                pen.value(Quantity::Temperature, degrees, line.span);
            }
        }
        "current carrier name" if !value.is_empty() => {
            pen.fact(Fact::OperatorProfile(value.to_owned()), line.span);
        }
        _ => {}
    }
}

/// Low power mode, written in one word or in three.
fn is_off(state: &str) -> bool {
    let letters = state.chars().filter(|c| !c.is_whitespace());
    let folded: String = letters.map(|c| c.to_ascii_lowercase()).collect();
    ["lowpowermode", "offline"].contains(&folded.as_str())
}

/// Each vote of 1 names a part that holds the radio off.
fn voters(pen: &mut FactWriter<'_>, votes: &str, at: usize) {
    for vote in votes.split(',') {
        let Some((name, value)) = vote.split_once(':') else { continue };
        if value.trim() != "1" {
            continue;
        }
        let name = name.trim_start_matches([' ', '-']);
        let holder = match name.trim().to_ascii_uppercase().as_str() {
            "TEMP" => Holder::Heat,
            "VOLT" => Holder::Supply,
            "USER" => Holder::Host,
            "W_DISABLE" => Holder::Pin,
            "IMSWITCH" => Holder::Image,
            _ => Holder::Firmware,
        };
        let start = at + (name.as_ptr() as usize - votes.as_ptr() as usize);
        let end = at + (vote.as_ptr() as usize - votes.as_ptr() as usize) + vote.len();
        pen.fact(Fact::RadioHeld(holder), Span::new(start, end));
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Holder, Quantity, Service};
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn a_held_radio_is_told_with_what_holds_it() {
        let rows = [
            "State: Low Power Mode",
            "LPM voters - Temp:0, Volt:0, User:0, W_DISABLE:1, IMSWITCH:0, BIOS:0",
            "LPM persistence - None",
        ];
        let found = of_block("!PCINFO", "", &rows);
        assert_eq!(found, [Fact::Service(Service::RadioOff), Fact::RadioHeld(Holder::Pin)]);
        let older =
            ["State: LowPowerMode", "LPM force flags - W_DISABLE:0, User:1, Temp:0, Volt:0"];
        let found = of_block("!PCINFO", "", &older);
        assert_eq!(found, [Fact::Service(Service::RadioOff), Fact::RadioHeld(Holder::Host)]);
        let on = of_block("!PCINFO", "", &["State: Online", "LPM voters - Temp:0, Volt:0"]);
        assert!(on.is_empty());
    }

    #[test]
    fn temperature_and_image_are_read_by_label() {
        let found = of_block("!PCTEMP", "", &["Temp state: Normal", "Temperature: 39.00 C"]);
        assert_eq!(numbers(&found, Quantity::Temperature), [39.0]);
        let found = of_block("!IMPREF", "", &[" current carrier name:   EMBER"]);
        assert!(says(&found, &Fact::OperatorProfile("EMBER".into())));
    }
}
