//! How waking a modem went, by the commands that went out and the results that came.

/// What waking a modem came to so far.
#[derive(Clone, Copy, Default)]
pub(super) struct Knocks {
    /// The counts of commands and results before it.
    pub(super) before: (u32, u32),
    /// Whether a command was echoed.
    pub(super) echoed: bool,
    /// So many commands went out before results were switched on.
    pub(super) silent: Option<u32>,
}
