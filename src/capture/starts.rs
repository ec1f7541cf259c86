//! Where in a line an item may begin: behind a sign, with `AT`, at the start of what a logger's marks
//! leave over.

/// Whether an item can begin with a byte: a prefix with its sign, a command with `AT`, a result
/// only at the start of the payload or behind another item.
pub(super) fn may_start(bytes: &[u8], at: usize, at_payload: bool, after_item: bool) -> bool {
    match bytes[at] {
        b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' => true,
        b'A' | b'a' if matches!(bytes.get(at + 1), Some(b'T' | b't')) => true,
        b'O' | b'E' | b'N' | b'B' | b'C' if after_item => true,
        b => at_payload && b.is_ascii_alphabetic(),
    }
}

/// A prefix or command never begins inside a word, a number or another prefix.
pub(super) fn boundary(bytes: &[u8], at: usize) -> bool {
    let Some(&before) = at.checked_sub(1).and_then(|i| bytes.get(i)) else { return true };
    if matches!(bytes[at], b'+' | b'^' | b'%') {
        // `+CREG: 0,1+CGREG: 0,1` and `OK+CREG: 1` run together; `AT+` belongs to the command.
        return !before.is_ascii_alphabetic() || ends_with_ok(&bytes[..at]);
    }
    if matches!(bytes[at], b'#' | b'!' | b'$' | b'*') {
        return !before.is_ascii_alphanumeric() && before != bytes[at];
    }
    !(before.is_ascii_alphanumeric()
        || matches!(before, b'_' | b'+' | b'^' | b'%' | b'#' | b'$' | b'/' | b'-'))
        || (bytes[at..].starts_with(b"AT") && ends_with_ok(&bytes[..at]))
        || ((bytes[at..].starts_with(b"OK") || bytes[at..].starts_with(b"ERROR"))
            && (before.is_ascii_digit() || ends_with_state(&bytes[..at])))
        || before == b'-' && at >= 2 && !bytes[at - 2].is_ascii_alphanumeric()
}

fn ends_with_ok(head: &[u8]) -> bool {
    head.ends_with(b"OK")
        && !head.get(head.len().wrapping_sub(3)).is_some_and(u8::is_ascii_alphabetic)
}

/// Whether a card's state stands directly before.
fn ends_with_state(head: &[u8]) -> bool {
    [&b"READY"[..], b"SIM PIN", b"SIM PUK"].iter().any(|state| head.ends_with(state))
}
