//! How long anything may take: the one place for every time-out of a dialogue.

use std::time::Duration;

/// A modem or a port that is away for longer than this counts as gone: a modem's start with its USB
/// ports takes up to 40 s, a serial server's reconnect up to a minute (common practice, no source).
pub const GONE_FOR_GOOD: Duration = Duration::from_secs(90);
/// A modem that is woken has so long for its answer to a bare `AT`.
pub(super) const WAKE: Duration = Duration::from_secs(1);
/// After so long without a byte the line counts as quiet.
pub(super) const QUIET: Duration = Duration::from_millis(300);
/// Where answers came late, the line counts as quiet after this.
pub(super) const LATE_QUIET: Duration = Duration::from_secs(3);
/// A command that a restart has swallowed is waited for no longer than this behind its first sign.
pub(super) const AFTER_START: Duration = Duration::from_secs(1);
/// A marker is asked again after this.
pub(super) const MARKER: Duration = Duration::from_secs(5);
/// A modem that answers, and later than a marker is waited for, is given so long for each at most.
pub(super) const SLOWEST: Duration = Duration::from_secs(20);
/// A modem that was given up once has this long to answer when settings are put back.
pub(super) const LAST_TRY: Duration = Duration::from_secs(5);

/// How long a command may take before it counts as unanswered: common practice, no source, but for
/// the long ones, which vendors' notes name.
pub(super) fn time_out(command: &str) -> Duration {
    let upper = command.to_ascii_uppercase();
    let body = upper.strip_prefix("AT").unwrap_or(&upper);
    let begins = |prefixes: &[&str]| prefixes.iter().any(|p| body.starts_with(p));
    let seconds = if begins(&["+COPS=?"]) {
        240
    } else if begins(&["+COPS=", "+CGATT=", "+CGACT="]) {
        150
    } else if begins(&["+CFUN="]) {
        30
    } else if begins(&["+COPS", "+CPIN", "+CRSM", "+CLCK"]) {
        10
    } else {
        5
    };
    Duration::from_secs(seconds)
}
