//! What may reach a terminal, Markdown, HTML, SVG, XML or a file name: one set of rules for all of them.
//!
//! Every text that came from a modem, a file or a person passes through here once on its way out. [`plain`] takes
//! away what a terminal or a reader's eye would obey; the other functions call it first and then escape what their
//! format would take for markup.

use std::borrow::Cow;

#[cfg(test)]
mod tests;

/// Whether a terminal or a reader's eye obeys this character instead of showing it: control characters, line and
/// paragraph separators, marks that turn the direction of writing, characters without a width, tags.
fn is_obeyed(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

/// The text on one line, for a terminal or a page: whatever a terminal obeys becomes a replacement sign, a
/// tab a blank.
pub fn plain(text: &str) -> Cow<'_, str> {
    if !text.contains(is_obeyed) {
        return Cow::Borrowed(text);
    }
    let shown = text.chars().map(|c| match c {
        '\t' => ' ',
        c if is_obeyed(c) => '\u{fffd}',
        c => c,
    });
    Cow::Owned(shown.collect())
}

/// The text in Markdown, in a sentence, a list or the cell of a table: neither Markdown nor the HTML inside it finds
/// markup in it.
pub fn markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in plain(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '!' | '~' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}

/// The text as a code span of Markdown, also in the cell of a table: its fence is longer than any fence inside.
pub fn markdown_code(text: &str) -> String {
    if text.is_empty() {
        return String::new();
    }
    let text = plain(text);
    let longest = text.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(longest + 1);
    let space = if longest > 0 { " " } else { "" };
    format!("{fence}{space}{}{space}{fence}", text.replace('|', "\\|"))
}

/// The text between tags or in a quoted attribute of HTML, SVG or XML.
///
/// `maud` escapes what stands in its templates itself; there [`plain`] is enough.
pub fn markup(text: &str) -> String {
    maud::html! { (plain(text)) }.into_string()
}
