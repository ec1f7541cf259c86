//! What mail programs write for an equals sign, and then for other characters too: the
//! quoted-printable coding of RFC 2045 §6.7.

use super::mapped::Edits;

/// The codes that pastes show, and what each stands for.
const CODES: [(&str, &str); 7] = [
    ("=3D", "="),
    ("=\r\n", ""),
    ("=\n", ""),
    ("=20", " "),
    ("=22", "\""),
    ("=0D", "\r"),
    ("=0A", "\n"),
];

/// Decodes a text that holds a coded equals sign; in others `=20` is a setting.
pub(super) fn decode(text: &str, edits: &mut Edits<'_>) {
    if memchr::memmem::find(text.as_bytes(), b"=3D").is_none() {
        return;
    }
    for at in memchr::memchr_iter(b'=', text.as_bytes()) {
        if let Some((code, with)) = CODES.iter().find(|(code, _)| text[at..].starts_with(code)) {
            edits.replace(at..at + code.len(), with);
        }
    }
}
