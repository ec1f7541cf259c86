//! Letters in one text: where an older one is appended below a newer one.
//!
//! ```text
//! -----Original Message-----        On Tue, 3 Mar 2026 at 09:00, Ann wrote:        From: Ann
//!                                                                                  Sent: Tuesday, 3 March 2026
//! ```
//!
//! The names of the fields are those of RFC 5322 §3.6 and what mail programs make of them in other languages; common
//! practice, no source.

use super::mapped::lines;
use std::ops::Range;

/// Fields of a letter's head.
const FIELDS: [&str; 17] = [
    "from", "sent", "date", "to", "cc", "subject", "von", "gesendet", "datum", "an", "betreff",
    "de", "enviado", "para", "asunto", "objet", "envoyé",
];

/// The fields of which a head has at least one.
const SENDERS: [&str; 3] = ["from", "von", "de"];

/// The letters of a text, the oldest first; `None` for a single one.
pub(super) fn by_letter(text: &str) -> Option<Vec<Range<usize>>> {
    let all: Vec<Range<usize>> = lines(text).collect();
    let mut borders: Vec<usize> = Vec::new();
    let mut n = 0;
    while n < all.len() {
        let head = head_length(text, &all[n..]);
        // Quote marks tell the order by themselves.
        let quoted =
            all.get(n + head.max(1)).is_some_and(|next| text[next.clone()].starts_with('>'));
        if head > 0 && !(quoted && head == 1) {
            borders.push(all[n].start);
        }
        n += head.max(1);
    }
    borders.retain(|border| text[..*border].lines().any(|line| !line.trim().is_empty()));
    if borders.is_empty() {
        return None;
    }
    let starts = std::iter::once(0).chain(borders.iter().copied());
    let ends = borders.iter().copied().chain([text.len()]);
    let mut letters: Vec<Range<usize>> = starts.zip(ends).map(|(from, to)| from..to).collect();
    letters.reverse();
    Some(letters)
}

/// How many lines the beginning of an older letter takes here; 0 where none begins.
fn head_length(text: &str, lines: &[Range<usize>]) -> usize {
    let line = |n: usize| lines.get(n).map_or("", |range| text[range.clone()].trim());
    if is_separator(line(0)) {
        let mut n = 1;
        while is_field(line(n)).is_some() {
            n += 1;
        }
        return n;
    }
    if is_attribution(line(0)) {
        return 1;
    }
    // An attribution that was wrapped.
    let both = || format!("{} {}", line(0), line(1));
    if line(0).starts_with("On ") && line(1).ends_with("wrote:") && is_attribution(&both()) {
        return 2;
    }
    let fields: Vec<&str> = (0..7).map_while(|n| is_field(line(n))).collect();
    let sender = fields.iter().any(|field| SENDERS.contains(field));
    if fields.len() >= 3 && sender { fields.len() } else { 0 }
}

/// `-----Original Message-----`, `---- Forwarded message ----`
fn is_separator(line: &str) -> bool {
    let inner = line.trim_matches(['-', '_', '=', ' ']);
    let lower = inner.to_lowercase();
    line.starts_with("--")
        && line.ends_with("--")
        && ["original", "forwarded", "weitergeleitet", "ursprüngliche", "mensaje", "message d"]
            .iter()
            .any(|word| lower.starts_with(word))
}

/// `On Tue, 3 Mar 2026 at 09:00, Ann wrote:`
fn is_attribution(line: &str) -> bool {
    let said = ["wrote:", "schrieb:", "a écrit :", "a écrit:", "escribió:", "ha scritto:"];
    let dated = line.bytes().filter(u8::is_ascii_digit).count() >= 4;
    let german = line.starts_with("Am ") && line.contains(" schrieb ") && line.ends_with(':');
    dated && (german || said.iter().any(|word| line.ends_with(word)))
}

/// The name of the field that a line gives.
fn is_field(line: &str) -> Option<&'static str> {
    let (name, value) = line.split_once(':')?;
    let name = name.trim_matches(['*', ' ', '>']).to_lowercase();
    FIELDS.iter().find(|field| **field == name && !value.trim().is_empty()).copied()
}

#[cfg(test)]
mod tests {
    use super::by_letter;

    fn ordered(text: &str) -> Option<Vec<&str>> {
        by_letter(text).map(|parts| parts.into_iter().map(|part| text[part].trim()).collect())
    }

    #[test]
    fn what_stands_below_a_separator_is_older() {
        for separator in [
            "-----Original Message-----",
            "---------- Forwarded message ----------",
            "-----Original Message-----\nFrom: Ann\nSent: Tuesday\nTo: Support",
            "On Tue, 3 Mar 2026 at 09:00, Ann wrote:",
            "On Tue, 3 Mar 2026 at 09:00, Ann of the station\n<ann@hut.example> wrote:",
            "Am 03.03.2026 um 09:00 schrieb Ann:",
            "From: Ann\nSent: Tuesday, 3 March 2026\nSubject: modem",
            "Subject: modem\nDate: Tue, 3 Mar 2026\nFrom: Ann",
            "Von: Ann\nGesendet: Dienstag\nBetreff: Modem",
        ] {
            let text = format!("+CEREG: 0,1\n\n{separator}\n\n+CEREG: 0,3\n");
            let older = format!("{separator}\n\n+CEREG: 0,3");
            assert_eq!(ordered(&text), Some(vec![&*older, "+CEREG: 0,1"]), "{text}");
        }
    }

    #[test]
    fn one_letter_or_other_fields_are_none() {
        for text in [
            "From: Ann\nSent: Tuesday\nSubject: modem\n\n+CEREG: 0,3\n",
            "+CEREG: 0,3\nfrom: here\nto: there\n",
            "+CEREG: 0,3\n----------\n+CEREG: 0,1\n",
            "It works\nOn Tue, 3 Mar 2026, Ann wrote:\n> +CEREG: 0,3\n",
            "the manual wrote:\n+CEREG: 0,3\n",
        ] {
            assert_eq!(ordered(text), None, "{text}");
        }
    }
}
