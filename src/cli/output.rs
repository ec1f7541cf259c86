//! What every command prints: pages, refusals; and the width that it has for them.

use super::exit::Exit;

/// Says what is wrong; with a file, its line may stand below, over several lines.
pub(super) fn refuse(sentence: &str) -> Exit {
    let lines: Vec<_> = sentence.trim_end().lines().map(crate::sanitize::plain).collect();
    eprintln!("mastside: {}", lines.join("\n"));
    Exit::Unusable
}

/// The width of the terminal in columns; 80 where there is none.
pub(super) fn width() -> usize {
    terminal_size::terminal_size_of(std::io::stdout())
        .map_or(80, |(terminal_size::Width(columns), _)| usize::from(columns))
}

/// The team's own file: the one that is named, or the user's own.
pub(super) fn team(named: Option<&std::path::Path>) -> Result<crate::rules::Team, Exit> {
    crate::rules::Team::load(named).map_err(|error| {
        eprintln!("mastside: {error}");
        Exit::Unusable
    })
}

/// Prints a text of the user's own without a change; control characters go only to where no terminal obeys them.
pub(super) fn print_as_it_is(text: &str) -> std::io::Result<()> {
    use std::io::{IsTerminal, Write};
    let mut out = std::io::stdout().lock();
    let written = if out.is_terminal() {
        let mut lines = text.lines();
        lines.try_for_each(|line| writeln!(out, "{}", crate::sanitize::plain(line)))
    } else {
        out.write_all(text.as_bytes())
    };
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Prints a page in one go; styles are left out where the stream does not want them.
pub(super) fn print(page: &str) -> std::io::Result<()> {
    use std::io::Write;
    let mut out = anstream::stdout().lock();
    match out.write_all(page.as_bytes()).and_then(|()| out.flush()) {
        // A reader that has seen enough is no error.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
