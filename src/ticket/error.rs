//! Why a ticket cannot be used: the file, what is wrong with it, and what would be right.

use std::path::{Path, PathBuf};

/// Why a ticket cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum TicketError {
    /// A file or folder could not be read or written.
    #[error("{}: {problem}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system says.
        problem: String,
    },
    /// The folder is no ticket.
    #[error("{}: no ticket: there is no ticket.toml in it; `mastside explain --ticket` makes one", .0.display())]
    NoTicket(PathBuf),
    /// A file holds something that has no place there.
    #[error("{}, line {line}: {problem}", path.display())]
    Form {
        /// The file.
        path: PathBuf,
        /// The line.
        line: usize,
        /// What is wrong.
        problem: String,
    },
    /// A newer program wrote it.
    #[error("{}: format {format}; a newer program is needed to read it", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: u32,
    },
    /// Nothing is added to a closed ticket.
    #[error("{}: the ticket is closed; `mastside ticket reopen` opens it again", .0.display())]
    Closed(PathBuf),
    /// A ticket has so many texts that this cannot be right.
    #[error("{}: the ticket has {most} texts already; open another one", path.display())]
    Full {
        /// The folder.
        path: PathBuf,
        /// So many texts are the most.
        most: usize,
    },
}

impl TicketError {
    pub(super) fn file(path: &Path, error: impl ToString) -> Self {
        Self::File { path: path.to_owned(), problem: error.to_string() }
    }
}
