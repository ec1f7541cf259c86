//! The kernel's switches of radio transmitters, as the system's tool lists them.
//!
//! ```text
//! 1: wwan0: Wireless WAN
//!         Soft blocked: yes
//!         Hard blocked: no
//! ```
//!
//! Types and states from the kernel's `include/uapi/linux/rfkill.h`; the layout is that of the system's tool (common
//! practice, no source).

use crate::case::{Fact, Facts, Holder};
use crate::span::Span;

/// Whether the last heading names a transmitter of the wide area.
#[derive(Debug, Default)]
pub(super) struct Switches {
    wide_area: bool,
}

impl Switches {
    /// Reads a line in small letters; whether it is one of such a list.
    pub(super) fn read(&mut self, lower: &str, base: usize, facts: &mut Facts) -> bool {
        let body = lower.trim();
        if is_heading(body) {
            self.wide_area = body.contains("wireless wan") || body.contains("wwan");
            return true;
        }
        let Some((kind, on)) = switch(body) else { return false };
        // Without a heading of its own the line is one of another layout.
        if !self.wide_area {
            return false;
        }
        let start = base + (lower.len() - lower.trim_start().len());
        let span = Span::new(start, start + body.len());
        if on {
            facts.push(Fact::RadioHeld(kind), span);
        }
        true
    }
}

/// `1: wwan0: Wireless WAN`
fn is_heading(body: &str) -> bool {
    let mut parts = body.splitn(3, ": ");
    let (Some(number), Some(_), Some(kind)) = (parts.next(), parts.next(), parts.next()) else {
        return false;
    };
    !number.is_empty()
        && number.bytes().all(|b| b.is_ascii_digit())
        && ["wireless", "bluetooth", "wwan", "wlan", "gps", "nfc", "ultra"]
            .iter()
            .any(|w| kind.starts_with(w))
}

/// `soft blocked: yes`
fn switch(body: &str) -> Option<(Holder, bool)> {
    let (name, value) = body.split_once(':')?;
    let holder = match name.trim() {
        "soft blocked" => Holder::Host,
        "hard blocked" => Holder::Pin,
        _ => return None,
    };
    match value.trim() {
        "yes" => Some((holder, true)),
        "no" => Some((holder, false)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held(text: &str) -> Vec<Fact> {
        let (mut switches, mut facts) = (Switches::default(), Facts::default());
        for line in text.lines() {
            switches.read(line, 0, &mut facts);
        }
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn only_the_wide_area_counts() {
        let list = "0: phy0: wireless lan\n\tsoft blocked: yes\n1: wwan0: wireless wan\n\tsoft blocked: no\n\thard blocked: yes\n";
        assert_eq!(held(list), [Fact::RadioHeld(Holder::Pin)]);
        assert_eq!(held("soft blocked: yes\n"), []);
    }
}
