//! Responses that are known and say nothing of the trouble, so that nothing is lost with them.

use crate::reference::commands;

/// Whether a prefix is that of a response which says nothing of the trouble.
pub(crate) fn says_nothing(prefix: &str) -> bool {
    commands::beside().iter().any(|known| known.eq_ignore_ascii_case(prefix))
}

#[cfg(test)]
mod tests {
    use super::commands;
    use crate::response::family;

    #[test]
    fn nothing_that_a_family_reads_is_said_to_be_silent_and_none_stands_twice() {
        let mut all = commands::beside().to_vec();
        for prefix in &all {
            assert!(family(prefix).is_none(), "{prefix} is read");
            assert_eq!(*prefix, prefix.to_ascii_uppercase());
        }
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
