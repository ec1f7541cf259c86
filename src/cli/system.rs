//! What the commands ask of the operating system: signals, the width of the terminal, the way out
//! of this session. Everything that differs between systems stands here.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

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

/// What signals ask of a watch.
#[derive(Debug)]
pub(super) struct WatchSignals {
    /// An end: Ctrl-C, a kill.
    pub(super) stop: Arc<AtomicBool>,
    hang_up: Arc<AtomicBool>,
    /// Whether there was a terminal at the start.
    had_terminal: bool,
}

impl WatchSignals {
    /// Catches the signals from now on.
    pub(super) fn catch() -> Self {
        use signal_hook::consts::{SIGINT, SIGTERM};
        let (stop, hang_up) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicBool::new(false)));
        let mut wanted = vec![(SIGINT, &stop), (SIGTERM, &stop)];
        #[cfg(unix)]
        wanted.push((signal_hook::consts::SIGHUP, &hang_up));
        for (signal, flag) in wanted.drain(..) {
            if let Err(error) = signal_hook::flag::register(signal, Arc::clone(flag)) {
                eprintln!("mastside: signal {signal} will not be caught: {error}");
            }
        }
        Self { stop, hang_up, had_terminal: has_terminal() }
    }

    /// Whether the log is to be put away now: a hang-up, unless the terminal itself went, which is an end.
    pub(super) fn is_rotation_wanted(&self) -> bool {
        if !self.hang_up.swap(false, Ordering::Relaxed) {
            return false;
        }
        if self.had_terminal && !has_terminal() {
            self.stop.store(true, Ordering::Relaxed);
            return false;
        }
        true
    }
}

/// Whether this process has a terminal that can be opened.
fn has_terminal() -> bool {
    cfg!(unix) && std::fs::File::open("/dev/tty").is_ok()
}

/// Tells the service manager something, where there is one; one that cannot be reached is no reason to end.
#[cfg(unix)]
fn notify(state: &[sd_notify::NotifyState<'_>]) {
    let _ = sd_notify::notify(state);
}

/// The service manager hears that the program is ready.
pub(super) fn notify_ready(status: &str) {
    #[cfg(unix)]
    notify(&[sd_notify::NotifyState::Ready, sd_notify::NotifyState::Status(status)]);
    #[cfg(not(unix))]
    let _ = status;
}

/// The service manager hears that the program is alive.
pub(super) fn notify_alive() {
    #[cfg(unix)]
    notify(&[sd_notify::NotifyState::Watchdog]);
}

/// The service manager hears a word on how it is.
pub(super) fn notify_status(status: &str) {
    #[cfg(unix)]
    notify(&[sd_notify::NotifyState::Status(status)]);
    #[cfg(not(unix))]
    let _ = status;
}

/// The service manager hears that the program ends.
pub(super) fn notify_stopping() {
    #[cfg(unix)]
    notify(&[sd_notify::NotifyState::Stopping]);
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

/// Whether this user may open a port, and what is missing where not.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Access {
    /// Reading and writing are allowed.
    Open,
    /// This group may, and the user is not in it.
    Group(String),
    /// This group may, the user is in it, and this session began before that.
    NewLogin(String),
    /// Its owner alone may.
    OwnerOnly,
    /// The system does not say, with its words.
    Unknown(String),
}

/// Whether this user may open a port; the port is not opened.
#[cfg(unix)]
pub(super) fn access(path: &str) -> Access {
    use rustix::fs::Access as Want;
    use std::os::unix::fs::MetadataExt;
    match rustix::fs::access(path, Want::READ_OK | Want::WRITE_OK) {
        Ok(()) => return Access::Open,
        Err(rustix::io::Errno::ACCESS | rustix::io::Errno::PERM) => {}
        Err(error) => return Access::Unknown(error.to_string()),
    }
    let port = match std::fs::metadata(path) {
        Ok(port) => port,
        Err(error) => return Access::Unknown(error.to_string()),
    };
    let groups = std::fs::read_to_string("/etc/group").unwrap_or_default();
    let user = std::env::var("USER").unwrap_or_default();
    missing_right(port.mode(), port.gid(), &user, &groups)
}

/// Other systems give ports to every user who is logged in.
#[cfg(not(unix))]
pub(super) fn access(_path: &str) -> Access {
    Access::Unknown("whether you may open it shows when it is opened".into())
}

/// What a user lacks who may not open a port of this mode and group, by the lines of `/etc/group`.
#[cfg(unix)]
fn missing_right(mode: u32, group: u32, user: &str, groups: &str) -> Access {
    if mode & 0o060 != 0o060 {
        return Access::OwnerOnly;
    }
    let entry = groups.lines().find_map(|line| {
        let mut cells = line.split(':');
        let (name, _password, number) = (cells.next()?, cells.next()?, cells.next()?);
        (number.parse() == Ok(group)).then(|| (name, cells.next().unwrap_or("")))
    });
    match entry {
        Some((name, members)) if members.split(',').any(|m| !user.is_empty() && m == user) => {
            Access::NewLogin(name.to_owned())
        }
        Some((name, _)) => Access::Group(name.to_owned()),
        None => Access::Group(group.to_string()),
    }
}

/// Whether this user may write to a folder, or make it where it is missing.
pub(super) fn may_write_below(folder: &std::path::Path) -> bool {
    let Some(there) = folder.ancestors().find(|path| path.exists()) else { return false };
    #[cfg(unix)]
    return there.is_dir() && rustix::fs::access(there, rustix::fs::Access::WRITE_OK).is_ok();
    #[cfg(not(unix))]
    return there.is_dir() && there.metadata().is_ok_and(|m| !m.permissions().readonly());
}

#[cfg(unix)]
#[cfg(test)]
mod tests {
    use super::*;

    const GROUPS: &str = "root:x:0:\ndialout:x:20:ada,bo\nrivers:x:1000:\n";

    #[test]
    fn the_missing_right_names_the_group_or_asks_for_a_new_login() {
        assert_eq!(missing_right(0o660, 20, "cy", GROUPS), Access::Group("dialout".into()));
        assert_eq!(missing_right(0o660, 20, "bo", GROUPS), Access::NewLogin("dialout".into()));
        assert_eq!(missing_right(0o600, 20, "cy", GROUPS), Access::OwnerOnly);
        assert_eq!(missing_right(0o660, 77, "cy", GROUPS), Access::Group("77".into()));
        assert_eq!(missing_right(0o660, 1000, "", GROUPS), Access::Group("rivers".into()));
    }

    #[test]
    fn a_folder_below_a_file_cannot_be_written() {
        let folder = tempfile::tempdir().unwrap();
        assert!(may_write_below(&folder.path().join("mastside")));
        let file = folder.path().join("file");
        std::fs::write(&file, "").unwrap();
        assert!(!may_write_below(&file.join("mastside")));
    }
}
