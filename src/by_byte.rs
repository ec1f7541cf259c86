//! Tables that tell of each byte what a text's reading asks of it again and again.

/// A table of 256, filled at compile time: what stands for none, and a value made of each byte.
macro_rules! by_byte {
    ($none:expr, |$byte:ident| $value:expr) => {{
        let mut table = [$none; 256];
        let mut at = 0;
        while at < 256 {
            #[expect(clippy::cast_possible_truncation, reason = "below 256")]
            let $byte = at as u8;
            table[at] = $value;
            at += 1;
        }
        table
    }};
}
