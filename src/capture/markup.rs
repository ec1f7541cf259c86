//! Markup of a page that a text was copied from: tags of HTML and character references. A tab parts the cells of a row.

use super::mapped::Edits;

/// Tags that end a line.
const BLOCKS: &[&str] = &[
    "br",
    "p",
    "div",
    "pre",
    "tr",
    "li",
    "ul",
    "ol",
    "table",
    "tbody",
    "blockquote",
    "h1",
    "h2",
    "h3",
    "hr",
    "html",
    "body",
];
/// Tags within a line.
const INLINE: &[&str] = &[
    "b", "i", "u", "em", "strong", "span", "code", "a", "tt", "font", "td", "th", "kbd", "samp",
    "sub", "sup", "small", "mark", "del", "ins", "img",
];

/// Character references, and what each stands for.
const REFERENCES: &[(&str, &str)] = &[
    ("&lt;", "<"),
    ("&gt;", ">"),
    ("&amp;", "&"),
    ("&quot;", "\""),
    ("&apos;", "'"),
    ("&nbsp;", " "),
    ("&ldquo;", "\""),
    ("&rdquo;", "\""),
    ("&#13;", "\r"),
    ("&#10;", "\n"),
    ("&#34;", "\""),
    ("&#39;", "'"),
    ("&#43;", "+"),
    ("&#x27;", "'"),
    ("&#x22;", "\""),
    ("&#xD;", "\r"),
    ("&#xA;", "\n"),
    ("&#160;", " "),
];

/// Removes tags, block tags to line ends, and decodes references.
pub(super) fn remove(text: &str, edits: &mut Edits<'_>) {
    let mut taken = 0;
    for at in memchr::memchr2_iter(b'<', b'&', text.as_bytes()) {
        let rest = &text[at..];
        let found = if rest.starts_with('<') { tag(rest) } else { reference(rest) };
        if let Some((len, with)) = found.filter(|_| at >= taken) {
            edits.replace(at..at + len, with);
            taken = at + len;
        }
    }
}

/// The length of the tag that begins here, and what stands for it.
fn tag(rest: &str) -> Option<(usize, &'static str)> {
    let inner = rest[1..].strip_prefix('/').unwrap_or(&rest[1..]);
    let word = inner.bytes().take(11).take_while(u8::is_ascii_alphanumeric).count();
    let name = &inner[..word];
    let is_one_of = |list: &[&str]| list.iter().any(|n| name.eq_ignore_ascii_case(n));
    let with = if is_one_of(BLOCKS) {
        "\n"
    } else if rest.starts_with("</") && is_one_of(&["td", "th"]) {
        "\t"
    } else if is_one_of(INLINE) {
        ""
    } else {
        return None;
    };
    // After the name comes an attribute or the end, never more of a word.
    if !inner[word..].starts_with(['>', ' ', '/']) {
        return None;
    }
    let end = rest.bytes().take(400).position(|b| b == b'>' || b == b'\n')?;
    (rest.as_bytes()[end] == b'>').then_some((end + 1, with))
}

fn reference(rest: &str) -> Option<(usize, &'static str)> {
    REFERENCES.iter().find(|(n, _)| rest.starts_with(n)).map(|&(n, with)| (n.len(), with))
}

#[cfg(test)]
mod tests {
    use crate::capture::mapped::MappedText;

    #[test]
    fn tags_go_and_block_tags_end_lines() {
        let plain = |text| MappedText::original(text).edited(super::remove).text().to_owned();
        assert_eq!(plain("<p>+CSQ: 1,99<br/>OK</p><b>x</b>"), "\n+CSQ: 1,99\nOK\nx");
        assert_eq!(plain("<tr><td>Card</td><td>ready</td></tr>"), "\nCard\tready\t\n");
        assert_eq!(plain("<a href=\"x&amp;y\">OK</a>"), "OK");
        assert_eq!(plain("if a <b and c> d"), "if a <b and c> d".replace("<b and c>", ""));
        assert_eq!(plain("AT+CFUN=<fun>"), "AT+CFUN=<fun>");
    }
}
