//! From bytes to text: which encoding a paste came in, and whether it is text at all.
//!
//! UTF-8 first; UTF-16 where a byte order mark says so, or where every other byte is zero; else
//! Latin-1 in its Windows form, which takes any byte.

use std::borrow::Cow;

/// Why bytes are not a text that could be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DecodeError {
    /// Nothing but blanks, or nothing at all.
    #[error("the input is empty")]
    Empty,
    /// More control bytes than a terminal would ever print.
    #[error("the input is binary: {controls} of its first {looked_at} bytes are control codes")]
    Binary {
        /// How many control bytes there are.
        controls: usize,
        /// How many bytes were looked at.
        looked_at: usize,
    },
}

impl DecodeError {
    /// What to do about it.
    pub const fn hint(self) -> &'static str {
        match self {
            Self::Empty => {
                "paste what the terminal showed, from the first AT command down to the last reply"
            }
            Self::Binary { .. } => "save the terminal's window as plain text and give that file",
        }
    }
}

/// The text of `bytes`; borrowed where they are UTF-8 already.
///
/// # Errors
///
/// [`DecodeError`] where there is nothing to read or the bytes are no text.
pub fn decode(bytes: &[u8]) -> Result<Cow<'_, str>, DecodeError> {
    if let Some((encoding, mark)) = encoding_rs::Encoding::for_bom(bytes) {
        let text = encoding.decode_without_bom_handling(&bytes[mark..]).0;
        return if text.trim().is_empty() { Err(DecodeError::Empty) } else { Ok(text) };
    }
    if let Some(encoding) = utf16_without_mark(bytes) {
        return Ok(encoding.decode_without_bom_handling(bytes).0);
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => encoding_rs::WINDOWS_1252.decode_without_bom_handling(bytes).0,
    };
    if text.trim_matches(|c: char| c.is_whitespace() || c == '\0').is_empty() {
        return Err(DecodeError::Empty);
    }
    refuse_binary(bytes)?;
    Ok(text)
}

/// A text of mostly Latin letters in UTF-16 has a zero in nearly every other byte.
fn utf16_without_mark(bytes: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let head = &bytes[..bytes.len().min(512)];
    if head.len() < 8 {
        return None;
    }
    let zeros = |from: usize| head.iter().skip(from).step_by(2).filter(|&&b| b == 0).count();
    let (even, odd) = (zeros(0), zeros(1));
    let most = head.len() / 2 * 9 / 10;
    if odd >= most && even == 0 {
        Some(encoding_rs::UTF_16LE)
    } else if even >= most && odd == 0 {
        Some(encoding_rs::UTF_16BE)
    } else {
        None
    }
}

fn refuse_binary(bytes: &[u8]) -> Result<(), DecodeError> {
    // Noise on a serial line is a byte here and there; a program or picture has them everywhere.
    let head = &bytes[..bytes.len().min(4096)];
    let controls = head
        .iter()
        .filter(|&&b| b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r' | 0x07 | 0x08 | 0x0c | 0x1b))
        .count();
    if head.len() >= 32 && controls * 12 > head.len() {
        return Err(DecodeError::Binary { controls, looked_at: head.len() });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn utf_16_is_read_with_and_without_its_mark() {
        let plain: Vec<u8> = "AT+CSQ\r\nOK".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(decode(&plain).unwrap(), "AT+CSQ\r\nOK");
        let marked: Vec<u8> = [0xfe, 0xff]
            .into_iter()
            .chain("AT\r\nOK".encode_utf16().flat_map(u16::to_be_bytes))
            .collect();
        assert_eq!(decode(&marked).unwrap(), "AT\r\nOK");
    }

    #[test]
    fn latin_1_is_read_as_such() {
        assert_eq!(decode(b"-5 \xb0C\r\nOK").unwrap(), "-5 °C\r\nOK");
    }

    #[test]
    fn nothing_and_binary_are_refused_by_name() {
        assert_eq!(decode(b" \r\n\t"), Err(DecodeError::Empty));
        assert_eq!(decode(b"\0\0\0\0\0\0\0\0\0"), Err(DecodeError::Empty));
        let binary: Vec<u8> = (0u8..=255).cycle().take(4096).collect();
        assert!(matches!(decode(&binary), Err(DecodeError::Binary { .. })));
    }

    #[test]
    fn a_few_odd_bytes_of_line_noise_are_still_text() {
        assert!(
            decode(b"\x00\xffAT\r\nAT\r\nOK\r\nAT+CPIN?\r\n+CPIN: READY\r\n\r\nOK\r\n").is_ok()
        );
    }
}
