//! `!PCINFO`: whether the radio is on, and what holds it off: the vote that is set names the cause.
//!
//! ```text
//! State: Low Power Mode
//! LPM voters - Temp:0, Volt:0, User:0, W_DISABLE:1, IMSWITCH:0, BIOS:0, …
//! LPM persistence - None
//! ```

use super::family;
use crate::case::{Fact, Facts, Holder, Service};
use crate::response::columns::{BodyLine, whole};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family =
    family(&["!PCINFO"], "!PCINFO?", "what keeps the radio off", &[], read);

/// The labels of the line that names what holds the radio off, by firmware.
const VOTES: [&str; 2] = ["LPM voters", "LPM force flags"];

/// Whether a line begins the response.
pub(super) fn begins(line: &str) -> bool {
    VOTES.iter().any(|label| line.starts_with(label))
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut known = reply.body.is_empty() && reply.continuation.is_empty();
        for line in reply.lines() {
            known |= labelled(w, line);
        }
        if known { Ok(()) } else { Err(reply.no_form(0)) }
    })
}

/// Reads one line; whether its label is known.
fn labelled(w: &mut FactWriter<'_>, line: BodyLine<'_>) -> bool {
    let text = line.text.trim();
    if let Some(votes) = VOTES.iter().find_map(|label| text.strip_prefix(label)) {
        let from = line.at + line.text.find(votes).unwrap_or(0);
        voters(w, votes, from);
        return true;
    }
    let Some(state) = text.strip_prefix("State:") else { return text.starts_with("LPM persist") };
    if is_off(state) {
        w.fact(Fact::Service(Service::RadioOff), Span::new(line.at, line.at + line.text.len()));
    }
    true
}

/// Low power mode, written in one word or in three.
fn is_off(state: &str) -> bool {
    let letters = state.chars().filter(|c| !c.is_whitespace());
    let folded: String = letters.map(|c| c.to_ascii_lowercase()).collect();
    ["lowpowermode", "offline"].contains(&folded.as_str())
}

/// Each vote of 1 names a part that holds the radio off.
fn voters(w: &mut FactWriter<'_>, votes: &str, at: usize) {
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
        w.fact(Fact::RadioHeld(holder), Span::new(start, end));
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!PCINFO:\nState: Low Power Mode\nLPM voters - Temp:0, Volt:0, User:0, W_DISABLE:1, IMSWITCH:0, BIOS:0\nLPM persistence - None",
];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Holder, Service};
    use crate::response::sample::of_block;

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
}
