//! One corpus of hostile texts, held against every way out.

use super::*;
use proptest::prelude::*;

/// What others try to bring onto a terminal or a page.
const HOSTILE: &[&str] = &[
    "",
    "\u{1b}[2J\u{1b}]0;title\u{7}",
    "\u{9b}31m\u{90}q\u{9c}",
    "a\rb\nc\u{b}d\u{c}e\u{85}f\u{0}g\u{7f}",
    "\u{202e}drawkcab\u{202c}\u{2066}x\u{2069}\u{200f}\u{61c}",
    "zero\u{200b}width\u{200d}\u{2060}\u{feff}\u{180e}",
    "line\u{2028}paragraph\u{2029}",
    "\u{e0041}\u{e007f}\u{fff9}\u{fffb}\u{206a}",
    "<script>alert(1)</script>",
    "</title></style><img src=x onerror=alert(1)>",
    "\" onload=\"alert(1)",
    "' onload='alert(1)",
    "]]><!--<![CDATA[&#0;&amp;&lt;",
    "[x](javascript:alert(1)) ![y](//z.example)",
    "# title\n- item\n| a | b |\n```\n`` ` ```",
    "`|`<b>`",
    "\\`\\\\|\\",
    "~~~\n***\n___",
    "=1+2",
];

fn is_shown(text: &str) -> bool {
    !text.contains(is_obeyed)
}

#[test]
fn nothing_that_is_obeyed_gets_out_in_any_form() {
    for text in HOSTILE {
        for (form, out) in [
            ("plain", plain(text).into_owned()),
            ("markdown", markdown(text)),
            ("markdown_code", markdown_code(text)),
            ("markup", markup(text)),
        ] {
            assert!(is_shown(&out), "{form} of {text:?}: {out:?}");
        }
    }
    assert_eq!(plain("a\u{1b}[31mb\tc\u{202e}d"), "a\u{fffd}[31mb c\u{fffd}d");
}

/// Checked outside: the parser of quick-xml finds one text and no element, and reads the same text back.
#[test]
fn markup_is_one_text_and_reads_back() {
    for text in HOSTILE {
        let page = format!("<p title=\"{0}\">{0}</p>", markup(text));
        let mut reader = quick_xml::Reader::from_str(&page);
        let (mut tags, mut inside) = (0, String::new());
        loop {
            use quick_xml::events::Event;
            match reader.read_event().unwrap_or_else(|e| panic!("{page:?}: {e}")) {
                Event::Start(tag) => {
                    tags += 1;
                    let title = tag.attributes().next().unwrap().unwrap();
                    let value = quick_xml::escape::unescape(title.value.as_ref()).unwrap();
                    assert_eq!(value, plain(text));
                    assert_eq!(tag.attributes().count(), 1, "{page:?}");
                }
                Event::Text(piece) => inside.push_str(piece.as_ref()),
                Event::GeneralRef(name) => {
                    inside.push_str(&format!("&{};", AsRef::<str>::as_ref(&name)));
                }
                Event::End(_) => tags += 1,
                Event::Eof => break,
                other => panic!("{page:?}: {other:?}"),
            }
        }
        assert_eq!((tags, quick_xml::escape::unescape(&inside).unwrap()), (2, plain(text)));
    }
}

#[test]
fn markdown_keeps_no_sign_that_begins_markup() {
    for text in HOSTILE {
        let out = markdown(text);
        assert!(!out.contains(['<', '>']), "{out:?}");
        let mut before = ' ';
        for c in out.chars() {
            let escaped = before == '\\';
            assert!(escaped || !"`*_[]|#!~".contains(c), "{c} in {out:?}");
            before = if escaped && c == '\\' { ' ' } else { c };
        }
    }
}

#[test]
fn a_code_span_ends_only_at_its_own_fence() {
    for text in HOSTILE {
        let out = markdown_code(text);
        let fence = out.len() - out.trim_start_matches('`').len();
        let inside = out.trim_matches('`');
        let longest = inside.split(|c| c != '`').map(str::len).max().unwrap_or(0);
        assert!(text.is_empty() || longest < fence, "{out:?}");
        assert!(!inside.replace("\\|", "").contains('|'), "{out:?}");
    }
}

proptest! {
    #[test]
    fn no_text_whatever_keeps_what_is_obeyed(text in any::<String>()) {
        prop_assert!(is_shown(&plain(&text)));
        prop_assert!(is_shown(&markdown(&text)));
        let markup = markup(&text);
        prop_assert!(!markup.contains(['<', '>', '"']), "{}", markup);
    }
}
