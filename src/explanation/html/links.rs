//! Links out of the sentences: a cause, an error or a channel number leads to its entry of the look-up.

use crate::reference::causes::CauseList;
use maud::{Markup, html};

/// Where the numbers and ids of an explanation lead to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Links {
    /// Nowhere: the page stands alone.
    #[default]
    None,
    /// To the look-ups and rule pages of the desk.
    Desk,
}

/// What stands before a number that the look-up knows, and how the look-up is asked.
fn heads() -> impl Iterator<Item = (String, String)> {
    let causes = CauseList::ALL.into_iter().map(|list| {
        let name = list.word().to_ascii_uppercase();
        (format!("{name} cause "), format!("{name} "))
    });
    let others = ["+CME ERROR: ", "+CMS ERROR: ", "EARFCN ", "NR-ARFCN ", "LTE band "];
    causes.chain(others.map(|head| (head.to_owned(), head.to_owned())))
}

impl Links {
    /// A sentence that is safe to show, with its numbers as links.
    pub(super) fn sentence(self, text: &str) -> Markup {
        if self == Self::None {
            return html! { (text) };
        }
        let found = heads()
            .flat_map(|(head, word)| {
                let places: Vec<_> = text.match_indices(&head).map(|(at, _)| at).collect();
                places.into_iter().filter_map(move |at| {
                    let from = at + head.len();
                    let digits = text[from..].bytes().take_while(u8::is_ascii_digit).count();
                    let whole = text[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
                    (digits > 0 && whole).then(|| {
                        (at, from + digits, format!("{word}{}", &text[from..from + digits]))
                    })
                })
            })
            .min();
        let Some((from, to, asks)) = found else { return html! { (text) } };
        html! {
            (text[..from])
            a href={ "/lookup?q=" (coded(&asks)) } { (text[from..to]) }
            (self.sentence(&text[to..]))
        }
    }

    /// The id of a finding; it leads to the page of its rule.
    pub(super) fn finding(self, id: &str) -> Markup {
        let page = self == Self::Desk && crate::rules::find(id).is_some();
        html! {
            @if page { a href={ "/rules/" (id) } { code { (id) } } } @else { code { (id) } }
        }
    }
}

/// The words of a question inside an address.
fn coded(words: &str) -> String {
    let mut out = String::new();
    for byte in words.bytes() {
        match byte {
            b' ' => out.push('+'),
            b if b.is_ascii_alphanumeric() || b == b'-' => out.push(char::from(b)),
            b => out.push_str(&format!("%{b:02X}")),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_the_look_up_knows_are_links_and_lead_to_an_answer() {
        for (text, asks) in [
            ("EMM cause 15 (TS 24.301)", "EMM 15"),
            ("the modem says +CME ERROR: 13.", "+CME ERROR: 13"),
            ("5GMM cause 3: x", "5GMM 3"),
            ("on EARFCN 6300, ESM cause 27", "EARFCN 6300"),
            ("on EARFCN 6300, ESM cause 27", "ESM 27"),
            ("LTE band 20", "LTE band 20"),
        ] {
            let out = Links::Desk.sentence(text).into_string();
            assert!(out.contains(&coded(asks)), "{out}");
            assert!(crate::lookup::guess(asks).is_ok(), "{asks}");
            assert_eq!(Links::None.sentence(text).into_string(), text);
        }
        let out = Links::Desk.sentence("EMM cause x and XEMM cause 3 <b>").into_string();
        assert_eq!(out, "EMM cause x and XEMM cause 3 &lt;b&gt;");
    }
}
