//! What the commands ask of the operating system: signals, the width of the terminal, the way out
//! of this session. Everything that differs between systems stands here.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// A flag that every request for an end sets: Ctrl-C, a kill, and a terminal that goes away.
pub(super) fn stop_flag() -> Arc<AtomicBool> {
    use signal_hook::consts::{SIGINT, SIGTERM};
    let stop = Arc::new(AtomicBool::new(false));
    #[cfg(unix)]
    let signals = [SIGINT, SIGTERM, signal_hook::consts::SIGHUP];
    #[cfg(not(unix))]
    let signals = [SIGINT, SIGTERM];
    for signal in signals {
        if let Err(error) = signal_hook::flag::register(signal, Arc::clone(&stop)) {
            eprintln!("mastside: signal {signal} will not be caught: {error}");
        }
    }
    stop
}

/// Whether this very session seems to run over a cellular link, so that dropping it would cut off
/// whoever types: a remote shell, and a default route over a mobile interface.
pub(super) fn runs_over_the_modem() -> bool {
    if std::env::var_os("SSH_CONNECTION").is_none() {
        return false;
    }
    // Linux alone has this table; elsewhere nothing is known.
    let routes = std::fs::read_to_string("/proc/net/route").unwrap_or_default();
    routes.lines().skip(1).any(|line| {
        let mut cells = line.split_whitespace();
        let (interface, target) = (cells.next().unwrap_or(""), cells.next().unwrap_or(""));
        target == "00000000"
            && ["wwan", "ppp", "wwp", "usb", "rmnet"].iter().any(|p| interface.starts_with(p))
    })
}
