//! Secrets that people and hosts write behind a word that names them, and names before the sign of a mail address.
//!
//! ```text
//! secret := label sign value | label verb value | label quoted | label value
//! sign   := ":" | "=" | ">"             of a file, a page, markup
//! verb   := "is" | "ist" | "est" …      then the value looks like a secret, or ends the sentence
//! value  := quoted | word               a word alone looks like a secret
//! ```

use super::found::{Secret, SecretKind};
use super::labels::{Announces, begins, label};
use super::phones;
use std::ops::Range;

/// Values that are no secret.
const OPEN: [&str; 14] = [
    "none", "null", "yes", "no", "true", "false", "required", "ready", "empty", "hidden", "unset",
    "n/a", "ok", "error",
];

/// Verbs between a label and its value.
const VERBS: &[&str] =
    &["is", "was", "ist", "war", "lautet", "est", "es", "era", "é", "è", "är", "jest", "to"];

/// What is said of a password at the end of a sentence and is none.
const SAID_OF_IT: &[&str] = &[
    "wrong",
    "right",
    "correct",
    "incorrect",
    "invalid",
    "valid",
    "missing",
    "needed",
    "set",
    "known",
    "unknown",
    "blank",
    "same",
    "different",
    "default",
    "rejected",
    "refused",
    "accepted",
    "protected",
    "expired",
    "changed",
    "used",
    "there",
    "fine",
    "good",
    "not",
    "mandatory",
    "optional",
    "encrypted",
    "case-sensitive",
    "falsch",
    "richtig",
    "leer",
    "gesetzt",
    "unbekannt",
    "bekannt",
    "korrekt",
    "nötig",
    "faux",
    "incorrecte",
    "correcte",
    "vide",
    "inconnu",
    "mauvais",
    "vacía",
    "incorrecta",
    "correcta",
    "errata",
    "corretta",
    "sbagliata",
    "vuota",
    "this",
    "that",
    "here",
    "below",
    "above",
    "following",
];

/// Finds the secrets that the words of one line name.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let lower = line.to_ascii_lowercase();
    let mut labels = Vec::new();
    let (mut before, mut until) = (None, 0);
    for (at, c) in line.char_indices() {
        if at >= until
            && begins(before, c)
            && let Some((announces, length)) = label(&lower[at..])
        {
            until = at + length;
            labels.push((announces, at..until));
        }
        before = Some(c);
    }
    let names = |of: [Announces; 2]| labels.iter().any(|(what, _)| of.contains(what));
    let pair = names([Announces::Password, Announces::MaybePassword])
        && names([Announces::User, Announces::MaybeUser]);
    for (announces, place) in labels {
        let text = Text { line, lower: &lower, place };
        found.extend(text.behind(announces, pair));
    }
    phones::international(line, found);
    phones::with_area(line, found);
    mail(line, found);
    address(line, found);
    header(&lower, found);
}

/// A line with the place of a label.
struct Text<'l> {
    line: &'l str,
    lower: &'l str,
    place: Range<usize>,
}

impl Text<'_> {
    /// The secret that the label announces; `pair` where the line names a user and a password.
    fn behind(&self, announces: Announces, pair: bool) -> Option<Secret> {
        let word = |range| Secret { range, kind: SecretKind::Word, keep: 0 };
        let maybe = matches!(announces, Announces::MaybePassword | Announces::MaybeUser);
        match announces {
            Announces::Pin => pin(self.lower, self.place.end),
            Announces::Phone => phones::named(self.lower, self.place.end),
            _ if maybe => self.maybe(pair).map(word),
            Announces::User => self.signed(&[':', '=', '>']).or_else(|| self.quoted()).map(word),
            _ => self.password().map(word),
        }
    }

    /// The value of a word that sentences have, too.
    fn maybe(&self, pair: bool) -> Option<Range<usize>> {
        let count = |value: &Range<usize>| {
            value.len() < 4 && self.line[value.clone()].bytes().all(|b| b.is_ascii_digit())
        };
        if let Some(value) = self.signed(&['=']) {
            return (!count(&value)).then_some(value);
        }
        // A report of a test has the word in capitals.
        let shouted = self.line[self.place.clone()].bytes().all(|b| b.is_ascii_uppercase());
        let value = self.signed(&[':', '>']).or_else(|| self.quoted().filter(|_| pair))?;
        let said = looks_secret(&self.line[value.clone()])
            || self.is_last(value.end) && (pair || !self.is_user());
        (!shouted && !count(&value) && said).then_some(value)
    }

    fn is_user(&self) -> bool {
        matches!(label(&self.lower[self.place.start..]), Some((Announces::MaybeUser, _)))
    }

    fn password(&self) -> Option<Range<usize>> {
        self.signed(&[':', '=', '>']).or_else(|| self.quoted()).or_else(|| self.bare())
    }

    /// The value behind one of `marks`.
    fn signed(&self, marks: &[char]) -> Option<Range<usize>> {
        let rest = self.lower[self.place.end..].trim_start_matches(['"', '\'', '\\']);
        let rest = rest.trim_start_matches([' ', '\t']);
        // The end of a tag of markup is no sign elsewhere.
        let tag = self.lower[..self.place.start].ends_with('<');
        let rest = rest.strip_prefix(|c: char| marks.contains(&c) && (c != '>' || tag))?;
        self.value(rest.trim_start_matches([' ', '\t', '\\']))
    }

    /// A value in quotes right behind the label, or behind a verb.
    fn quoted(&self) -> Option<Range<usize>> {
        let rest = self.behind_verb().unwrap_or(&self.lower[self.place.end..]);
        let rest = rest.strip_prefix([' ', '\t'])?.trim_start();
        rest.starts_with(['"', '\'', '`']).then(|| self.value(rest)).flatten()
    }

    /// The text behind a verb that follows the label.
    fn behind_verb(&self) -> Option<&str> {
        let rest = self.lower[self.place.end..].strip_prefix(' ')?;
        let behind = VERBS.iter().filter_map(|verb| rest.strip_prefix(verb));
        behind.map(|rest| rest.trim_start_matches(':')).find(|rest| rest.starts_with(' '))
    }

    /// A word behind a verb or behind nothing.
    fn bare(&self) -> Option<Range<usize>> {
        let verb = self.behind_verb();
        let rest = verb.unwrap_or(&self.lower[self.place.end..]);
        let rest = rest.strip_prefix([' ', '\t'])?.trim_start();
        let value = self.value(rest)?;
        let text = &self.line[value.clone()];
        let trimmed = text.trim_end_matches(['.', '!', '?', ':', ',']);
        let value = value.start..value.start + trimmed.len();
        let short = matches!(&self.lower[self.place.clone()], "pwd" | "passwd");
        let word = trimmed.chars().all(char::is_alphabetic) && trimmed.chars().count() >= 4;
        let last = word && self.is_last(value.end) && (verb.is_some() || short);
        let open = |list: &[&str]| list.contains(&trimmed.to_lowercase().as_str());
        let command = trimmed.starts_with(['+', '^', '$', '#', '*', '(', '<', '-', '/'])
            || trimmed.starts_with("AT") && !trimmed[2..].starts_with(char::is_alphanumeric);
        (!command && (looks_secret(trimmed) || last) && !open(SAID_OF_IT) && !open(&OPEN))
            .then_some(value)
    }

    /// Whether the sentence or the entry ends behind a value.
    fn is_last(&self, end: usize) -> bool {
        let rest = self.lower[end..].trim_start_matches(['"', '\'']);
        let next = near(rest).trim_start_matches([' ', '\t']);
        let word = next.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(next.len());
        next.is_empty()
            || rest.starts_with(['.', ',', ';', ')', '!', '?', '/', '\r', '\n', '<', '|'])
            || word > 0 && next[word..].starts_with([':', '='])
    }

    /// The value that a text begins with, which ends the line.
    fn value(&self, rest: &str) -> Option<Range<usize>> {
        let (rest, end) = match rest.chars().next()? {
            quote @ ('"' | '\'' | '`') => {
                let inner = near(&rest[1..]);
                // A quote inside is escaped, all are in a text inside a text; one that nothing closes ends with the line.
                let within = self.lower[..self.lower.len() - rest.len()].ends_with('\\');
                let closes = |at: &usize| inner[..*at].ends_with('\\') == within;
                let end = inner.match_indices(quote).map(|(at, _)| at).find(closes);
                let end = end.map(|at| at - usize::from(within));
                (&rest[1..], end.unwrap_or_else(|| inner.trim_end().len()))
            }
            _ => (rest, word_end(rest)),
        };
        let text = &rest[..end];
        let start = self.lower.len() - rest.len();
        let shown = !text.contains(char::is_alphanumeric)
            || OPEN.contains(&text)
            || text.starts_with('<')
            || text.chars().all(|c| matches!(c, '*' | 'x' | '-' | '.' | '?'));
        (!shown).then_some(start..start + end)
    }
}

/// No secret is longer, bytes: a line may be as long as a file.
const LONGEST: usize = 2048;

/// As much of a text as a secret at its beginning may take.
fn near(text: &str) -> &str {
    &text[..text.floor_char_boundary(LONGEST)]
}

/// Where an unquoted value ends: at a blank, at what parts entries, at the next pair of a query.
fn word_end(rest: &str) -> usize {
    let rest = near(rest);
    let ends = |(at, c): (usize, char)| match c {
        ' ' | '\t' | ',' | ';' | ')' | ']' | '}' | '<' | '\r' | '\n' => true,
        '&' => begins_pair(&rest[at + 1..]),
        _ => false,
    };
    rest.char_indices().find(|place| ends(*place)).map_or(rest.len(), |(at, _)| at)
}

/// Whether a text begins with a name and the sign of a value.
fn begins_pair(text: &str) -> bool {
    let name = text.bytes().take_while(|b| b.is_ascii_alphanumeric() || *b == b'_').count();
    name > 0 && text.as_bytes().get(name) == Some(&b'=')
}

/// Whether a word is none of a language: letters with digits, capitals inside, signs inside.
fn looks_secret(word: &str) -> bool {
    let inner = word.trim_matches(|c: char| c.is_ascii_punctuation());
    let has = |what: fn(char) -> bool| word.chars().any(what);
    let signs = inner.contains(['!', '@', '#', '$', '%', '^', '&', '*', '_', '?']);
    let letters = inner.chars().collect::<Vec<_>>();
    let hump = letters.windows(2).any(|w| w[0].is_lowercase() && w[1].is_uppercase());
    word.chars().count() >= 4
        && (signs
            || hump
            || has(|c| c.is_ascii_digit()) && (has(char::is_alphabetic) || inner.len() >= 4))
}

/// Four to eight digits behind the word: `PIN: 4821`, `the PIN is 4821`, `PIN-Code lautet 4821`.
fn pin(lower: &str, at: usize) -> Option<Secret> {
    let signs = [' ', '\t', ':', '=', '#', '"', '\'', '-'];
    let mut rest = lower[at..].trim_start_matches(signs);
    let words = VERBS.iter().chain(&["code", "number", "nummer", "no", "nr"]);
    while let Some(behind) = words.clone().find_map(|w| rest.strip_prefix(w)?.strip_prefix(signs)) {
        rest = behind.trim_start_matches(signs);
    }
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let start = lower.len() - rest.len();
    let ends = !rest[digits..].starts_with(|c: char| c.is_alphanumeric() || matches!(c, ':' | '/'));
    ((4..=8).contains(&digits) && ends).then(|| Secret {
        range: start..start + digits,
        kind: SecretKind::Pin,
        keep: 0,
    })
}

/// The name before the sign of a mail address.
fn mail(line: &str, found: &mut Vec<Secret>) {
    for (at, _) in line.match_indices('@') {
        let name = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-' | '+');
        let start = line[..at].trim_end_matches(name).len();
        let host = line[at + 1..].split(|c: char| !name(c)).next().unwrap_or("");
        if start < at && host.trim_end_matches('.').contains('.') {
            found.push(Secret { range: start..at, kind: SecretKind::Word, keep: 0 });
        }
    }
}

/// User and password in an address of the web (RFC 3986 §3.2.1).
fn address(line: &str, found: &mut Vec<Secret>) {
    for (at, sign) in line.match_indices("://") {
        let start = at + sign.len();
        let end = line[start..].find(['/', '?', '#', ' ', '"', '\t', '\r', '\n', '<', '>']);
        let host = &line[start..end.map_or(line.len(), |n| start + n)];
        if let Some(user) = host.rfind('@').filter(|n| *n > 0) {
            found.push(Secret { range: start..start + user, kind: SecretKind::Word, keep: 0 });
        }
    }
}

/// The token behind the scheme of an HTTP header (RFC 7235 §4.2); a bearer of a network has no such name.
fn header(lower: &str, found: &mut Vec<Secret>) {
    for (at, name) in lower.match_indices("authorization") {
        let signs = [' ', '\t', ':', '=', '"', '\''];
        let rest = lower[at + name.len()..].trim_start_matches(signs);
        let mut scheme = ["bearer ", "basic ", "digest ", "token "].iter();
        let Some(rest) = scheme.find_map(|s| rest.strip_prefix(s)) else { continue };
        let token = rest.trim_start();
        let start = lower.len() - token.len();
        let range = start..start + word_end(token);
        found.push(Secret { range, kind: SecretKind::Word, keep: 0 });
    }
}
