//! Where in a line an item may begin: behind a sign, with `AT`, at the start of what a logger's marks
//! leave over.

/// With which bytes an item can begin behind the start of the payload.
const FIRST: u8 = 1;
/// And with which behind another item.
const FURTHER: u8 = 2;

const STARTS: [u8; 256] = by_byte!(0, |b| match b {
    b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' | b'A' | b'a' => FIRST | FURTHER,
    b'O' | b'E' | b'N' | b'B' | b'C' => FURTHER,
    _ => 0,
});

/// Whether a first item may begin elsewhere than where the payload does: behind a sign, or with `AT`.
/// A look at all bytes side by side before the one at each.
pub(super) fn may_begin(bytes: &[u8]) -> bool {
    let sign = |b: u8| matches!(b, b'!' | b'#'..=b'%' | b'*' | b'+' | b'^');
    // Both differences are nothing where the two letters are those of `AT`.
    let at = |(a, t): (&u8, &u8)| ((a | 0x20) ^ b'a') | ((t | 0x20) ^ b't') == 0;
    let next = bytes.get(1..).unwrap_or_default();
    bytes.iter().fold(false, |any, &b| any | sign(b))
        || bytes.iter().zip(next).fold(false, |any, pair| any | at(pair))
}

/// The next place from `from` on where an item may begin.
pub(super) fn next_start(
    bytes: &[u8],
    from: usize,
    payload: usize,
    after_item: bool,
) -> Option<usize> {
    let class = if after_item { FURTHER } else { FIRST };
    let begins = |at: &usize| {
        let b = bytes[*at];
        // Nearly every `a` of a sentence begins no `AT`.
        let is_other =
            |b: u8| b | 0x20 == b'a' && bytes.get(at + 1).is_none_or(|t| t | 0x20 != b't');
        STARTS[usize::from(b)] & class != 0 && !is_other(b)
    };
    let next = (from..bytes.len()).find(begins);
    let at_payload = from <= payload && payload < bytes.len();
    if at_payload && next.is_none_or(|n| n > payload) { Some(payload) } else { next }
}

/// Whether an item can begin with a byte: a header with its sign, a command with `AT`, a result
/// only at the start of the payload or behind another item.
pub(super) fn may_start(bytes: &[u8], at: usize, at_payload: bool, after_item: bool) -> bool {
    match bytes[at] {
        b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' => true,
        b'A' | b'a' if matches!(bytes.get(at + 1), Some(b'T' | b't')) => true,
        b'O' | b'E' | b'N' | b'B' | b'C' if after_item => true,
        b => at_payload && b.is_ascii_alphabetic(),
    }
}

/// A header or command never begins inside a word, a number or another header.
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
        || (bytes[at..].starts_with(b"OK") && before.is_ascii_digit())
        || before == b'-' && at >= 2 && !bytes[at - 2].is_ascii_alphanumeric()
}

fn ends_with_ok(head: &[u8]) -> bool {
    head.ends_with(b"OK")
        && !head.get(head.len().wrapping_sub(3)).is_some_and(u8::is_ascii_alphabetic)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn where_nothing_may_begin_nothing_begins(line in "[ a-eot+^%#!$*ATOK0-9]{0,24}|\\PC{0,40}") {
            let bytes = line.as_bytes();
            if !may_begin(bytes) {
                for payload in 0..=bytes.len() {
                    let start = next_start(bytes, 0, payload, false);
                    prop_assert_eq!(start, Some(payload).filter(|at| *at < bytes.len()));
                    prop_assert_eq!(next_start(bytes, payload + 1, payload, false), None);
                }
            }
        }
    }
}
