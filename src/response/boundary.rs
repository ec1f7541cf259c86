//! What may stand behind the last value of a response without belonging to it.
//!
//! Logs, mail, terminals and people dress a line: frames, spelled-out line ends, colours, remarks, a result code that
//! lost its line. A value that ends at one of these is whole; one that ends at anything else is not understood, because
//! what stands there may be a part of it. Common practice, no source.

/// Whether a value is whole when `rest` is what stands behind it in its line.
///
/// A comma is no boundary: it parts the fields of one response.
pub(crate) fn ends(rest: &str) -> bool {
    let Some(first) = rest.chars().next() else { return true };
    let behind = &rest[first.len_utf8()..];
    match first {
        ' ' | '\t' | '\u{a0}' => blank(rest),
        // Brackets and quotes that close a frame around the response, the bar of a table, the end of a statement.
        ')' | ']' | '}' | '"' | '\'' | '`' | '|' | ';' | '>' | '”' | '’' | '»' => {
            !starts_with_alphanumeric(behind) || glued(behind)
        }
        '\\' => escape(behind),
        // `^M`, `^J`, `^[`: control characters in caret notation; a sign begins the next prefix.
        '^' => behind.starts_with(['M', 'J', '[', '@']) && !word(behind) || prefix(behind),
        '+' | '%' | '$' | '&' | '=' => encoded(rest) || prefix(behind),
        // Tags, `<CR>`, `[CR]`, a colour that lost its escape character, a remark in brackets; no number in brackets.
        '<' => behind
            .starts_with(|c: char| c.is_ascii_alphabetic() || matches!(c, '/' | '-' | '<' | '0')),
        '[' => behind.starts_with(|c: char| c.is_ascii_alphabetic()) || colour(behind),
        '(' | '{' => behind.starts_with(|c: char| c.is_alphabetic()),
        '.' | '…' | '·' => dots(rest),
        '#' => true,
        '/' => behind.starts_with(['/', '*']),
        '-' => behind.starts_with(['-', '>']) || behind.is_empty() || behind.starts_with(' '),
        // Marks of emphasis, and the end of a sentence.
        '*' | '_' | '~' | '!' | ':' => {
            let after = behind.trim_start_matches(first);
            // Three stars or more stand for digits that somebody has hidden.
            let hidden = first == '*' && behind.len() - after.len() >= 2;
            !hidden && !starts_with_alphanumeric(after) || first == '!' && prefix(after)
        }
        // A character that the reader could not decode may have been a digit; a wide comma parts fields.
        '\u{fffd}' | '，' | '?' => false,
        c if c.is_control() => true,
        c if c.is_ascii() => glued(rest),
        c => !c.is_alphanumeric(),
    }
}

/// Behind a blank another word begins; a number there may be a part of this one, and `or` gives a choice.
fn blank(rest: &str) -> bool {
    let word = rest.trim_start_matches([' ', '\t', '\u{a0}']);
    let choice = word.get(..2).is_some_and(|or| or.eq_ignore_ascii_case("or"))
        && !starts_with_alphanumeric(&word[2..]);
    !choice && !word.starts_with(|c: char| c.is_ascii_digit()) && !word.starts_with(['?', ','])
}

fn starts_with_alphanumeric(text: &str) -> bool {
    text.starts_with(|c: char| c.is_alphanumeric())
}

/// Whether a letter or digit goes on.
fn word(text: &str) -> bool {
    text.chars().nth(1).is_some_and(char::is_alphanumeric)
}

/// A line end or a quote as programs spell it: `\r`, `\n`, `\x0d`, `\u000d`, `\015`, `\"`.
fn escape(behind: &str) -> bool {
    let small = |spelled: &str| {
        behind.get(..spelled.len()).is_some_and(|b| b.eq_ignore_ascii_case(spelled))
    };
    behind.is_empty()
        || behind.starts_with(['\\', '"', '\'', 'r', 'n', 't', 'e', '0'])
        || ["x0d", "x0a", "x1b", "x00", "u000d", "u000a", "u001b", "u2028"].iter().any(|s| small(s))
}

/// `%0D`, `=0D`, `&#13;`, `&nbsp;`.
fn encoded(rest: &str) -> bool {
    let upper: String = rest.chars().take(3).map(|c| c.to_ascii_uppercase()).collect();
    matches!(&*upper, "%0D" | "%0A" | "=0D" | "=0A")
        || rest.strip_prefix('&').and_then(|r| r.split_once(';')).is_some_and(|(name, _)| {
            (2..=7).contains(&name.len())
                && name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'#')
        })
}

/// `0m`, `1;32m`: a terminal colour (ECMA-48 §8.3.117) that lost its escape character.
fn colour(behind: &str) -> bool {
    let end = behind.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';');
    end.starts_with(['m', 'K']) && end.len() < behind.len()
}

/// Two dots or more stand for characters that a program could not print; one dot ends a sentence.
fn dots(rest: &str) -> bool {
    let behind = rest.trim_start_matches(['.', '…', '·']);
    let single = rest.len() - behind.len() == 1;
    if single {
        !starts_with_alphanumeric(behind) || glued(behind)
    } else {
        !behind.starts_with(|c: char| c.is_ascii_digit())
    }
}

/// The next message without a line end before it: a result code, a command, a prefix.
fn glued(rest: &str) -> bool {
    const CODES: [&str; 7] = ["OK", "ERROR", "NO CARRIER", "CONNECT", "RING", "BUSY", "RDY"];
    let code = CODES.iter().any(|code| {
        rest.strip_prefix(code)
            .is_some_and(|after| !starts_with_alphanumeric(after) || command(after))
    });
    code || command(rest)
        || rest.strip_prefix(['+', '^', '%', '#', '!', '$', '*']).is_some_and(prefix)
}

fn command(rest: &str) -> bool {
    let behind = rest.strip_prefix("AT").or_else(|| rest.strip_prefix("at"));
    behind.is_some_and(|b| b.starts_with(['+', '^', '%', '#', '!', '$', '*', '&']))
}

/// Whether a prefix without its sign begins here: a name with its colon.
fn prefix(behind: &str) -> bool {
    let name = behind
        .bytes()
        .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'))
        .count();
    let after = behind[name..].trim_start_matches(' ');
    name >= 2
        && behind.starts_with(|c: char| c.is_ascii_alphabetic())
        && (after.starts_with(':') || after.starts_with("ERROR"))
}

#[cfg(test)]
mod tests {
    use super::ends;

    #[test]
    fn a_value_ends_where_its_dressing_begins() {
        for rest in [
            "",
            "}",
            "....OK..",
            " //now quiet",
            "*",
            "…",
            " -- see below",
            "\\r\\n",
            "<CR>",
            "<0D>",
            "^M",
            "^M^J",
            ")",
            "\"]",
            "'",
            "\\r\\n'",
            "\u{1b}[0m",
            "[0m",
            "[1;32m",
            "OK",
            "OKAT+CSQ",
            "+CGREG: 0,1",
            "^MODE: 5",
            "#a remark",
            "; next",
            " (home)",
            "(home)",
            "&nbsp;",
            "%0D%0A",
            "=0D",
            "</td>",
            "<br>",
            " | ",
            "|",
            "**",
            " → fine",
            "→",
            "↵",
            "␍␊",
            ".",
            ". Then",
            "!",
            ": home",
            "\u{200b}",
            "+CME ERROR: 10",
            ".OK",
            "\\\"",
            "\\n",
            "\\u000d",
            ">",
        ] {
            assert!(ends(rest), "{rest:?}");
        }
    }

    #[test]
    fn what_may_be_a_part_of_the_value_is_no_boundary() {
        for rest in [
            "x", "é", "²", ".5", "..5", "-5", ":30", " 7,99", " or 5", "\u{fffd}", "?", " ?", "_a",
            "***", "****,7", "0", "(5)", "'s", "\"a", "Okay", "ATE", "+", "+5", "^", "/2", "=",
            "，1", "*2",
        ] {
            assert!(!ends(rest), "{rest:?}");
        }
    }
}
