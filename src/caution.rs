//! The cautions that stand beside advice which can hurt: power feeds, antennas, height, lightning.
//!
//! Common practice, no source; they defer to local codes and licensed practice.

/// Beside work on a card or a connector.
pub const POWER_OFF: &str = "Switch the supply off before opening the cabinet or moving the card.";

/// Beside work on antennas.
pub const ANTENNA: &str = "Work at height, near radiating antennas or with lightning about is for trained people: \
    switch the transmitter off first, keep the distances that local codes ask for, leave mast work to licensed riggers.";

/// Beside work on power feeds.
pub const SUPPLY: &str = "Work on power feeds and injectors with the supply off, by local codes and, where they ask for it, \
    by a licensed electrician.";

/// Beside switching a transmitter on.
pub const RADIATES: &str = "The antenna radiates once the radio is on: keep the distance that the site's rules and local codes ask for.";

/// Beside work in the open when there may be lightning.
pub const LIGHTNING: &str = "No work on masts or antenna lines with lightning about; lightning protection is for licensed practice.";

/// Beside work at height.
pub const HEIGHT: &str =
    "At height: only trained people, secured, by local codes; never alone, never in wind or ice.";

/// Beside work with anything long.
pub const POWER_LINES: &str = "Power lines: stay well away with anything long.";

/// On the report of a whole site.
pub const SITE: [&str; 3] = [ANTENNA, SUPPLY, LIGHTNING];

/// Before an antenna is turned by hand.
pub const TURNING: [&str; 4] = [HEIGHT, ANTENNA, POWER_LINES, LIGHTNING];
