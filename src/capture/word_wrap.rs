//! Replies that a letter or a page has wrapped at a blank inside them.
//!
//! ```text
//! +CPSI: LTE
//! NB-IOT,Online,001-01,0x1A2B,2050,112,EUTRAN-BAND3,1850,5,5,-11,-94,-63,12
//! ```

use super::column_wrap::unfinished;
use super::item::Kind;
use super::mapped::{Edits, feeds_between, lines};
use std::cell::LazyCell;

/// Puts responses together that were wrapped at a blank.
pub(super) fn join(text: &str, edits: &mut Edits<'_>) {
    let longest = LazyCell::new(|| lines(text).map(|line| line.len()).max().unwrap_or(0));
    // The response so far, where the line before belongs to it.
    let mut begun: Option<String> = None;
    for (this, next) in lines(text).zip(lines(text).skip(1)) {
        let so_far = begun.take();
        let line = so_far.as_deref().unwrap_or(&text[this.clone()]);
        let next_line = &text[next.clone()];
        // No line of the text is as long as both would be: it was wrapped for its length.
        if !may_go_on(line, next_line)
            || feeds_between(text, &this, &next) != 1
            || line.len() + 1 + next_line.len() <= *longest
            || !goes_on(line, next_line, so_far.is_some())
        {
            continue;
        }
        let rest = unquoted(next_line);
        let end = this.start + text[this].trim_end().len();
        let cut = line.trim_end().ends_with(',') || rest.starts_with(',');
        let blank = if cut { "" } else { " " };
        begun = Some([line.trim_end(), blank, rest].concat());
        edits.replace(end..next.start + next_line.len() - rest.len(), blank);
    }
}

/// A cheap look before the costly one: values follow a line with a header, or close its quote.
fn may_go_on(line: &str, next: &str) -> bool {
    let (line, next) = (line.as_bytes(), next.as_bytes());
    if memchr::memchr2(b',', b'"', next).is_none() {
        return false;
    }
    let values = memchr::memchr_iter(b',', next).take(2).count();
    let open = || memchr::memchr_iter(b'"', line).count() % 2 == 1;
    memchr::memchr(b':', line).is_some()
        && (values == 2 || memchr::memchr(b'"', next).is_some() && open())
}

/// Whether `next` is the rest of the reply at the end of `line`, which was put `together` from
/// several or is one.
fn goes_on(line: &str, next: &str, together: bool) -> bool {
    let rest = unquoted(next).trim_end();
    let begins =
        rest.starts_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '"' | '-' | ','));
    // Values have no blank behind their commas, and a sentence has.
    if !begins || rest.contains(", ") {
        return false;
    }
    unfinished(line, next).is_some_and(|last| {
        let values = line[last.text_at..].trim();
        let ends = last.end >= line.trim_end().len() && !last.in_sentence;
        // A header may stand alone before its values, where these begin with a quote.
        let broken = if values.is_empty() {
            rest.starts_with('"')
        } else {
            together || !values.ends_with(',')
        };
        last.kind == Kind::Prefixed && ends && broken
    })
}

/// A line without the marks of mail before it.
fn unquoted(line: &str) -> &str {
    line.trim_start_matches(['>', '|', ' ', '\t'])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::mapped::MappedText;

    fn plain(text: &str) -> String {
        MappedText::original(text).edited(join).text().to_owned()
    }

    #[test]
    fn a_reply_wrapped_at_a_blank_is_one_line_again() {
        for (text, whole) in [
            (
                "AT+CPSI?\n+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112,1850\nOK\n",
                "AT+CPSI?\n+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,2050,112,1850\nOK\n",
            ),
            (
                "+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112,\n1850,5,5,-11,-94,-63,12\nOK\n",
                "+CPSI: LTE NB-IOT,Online,001-01,0x1A2B,2050,112,1850,5,5,-11,-94,-63,12\nOK\n",
            ),
            (
                "> AT+COPS?\n> +COPS: 0,0,\"River\n> Network\",7\n> OK\n",
                "> AT+COPS?\n> +COPS: 0,0,\"River Network\",7\n> OK\n",
            ),
        ] {
            assert_eq!(plain(text), whole);
        }
    }

    #[test]
    fn lines_of_their_own_stay_apart() {
        for text in [
            // A sentence, a line of another modem's reply, a line that would have fitted.
            "+CREG: 0,2\nit searches, then stops, then searches\nOK\n",
            "+CGDCONT: 1,\"IP\",\"gauge.example\"\n+CGDCONT: 2,\"IP\",\"ims\",\"\",0,0\nOK\n",
            "+GTCCINFO:\n1,4,001,01,1A2B,2050\nOK\n",
            "+CSQ: 17,99\n12,13,14\nthis is a line as long as no other one in the text\n",
            "+CSQ: 17,99\n\n1,2,3,4,5,6\n",
            "12:00:01 +CSQ: 17,99\n12:00:02 1,2,3,4,5,6\n",
        ] {
            assert_eq!(plain(text), text);
        }
    }

    #[test]
    fn every_byte_leads_back_to_where_it_stood() {
        let text = "+CPSI: LTE\nNB-IOT,Online,001-01,0x1A2B,2050,112\n";
        let mapped = MappedText::original(text).edited(join);
        let at = mapped.text().find("Online").unwrap();
        let span = mapped.origin(crate::span::Span::new(at, at + 6));
        assert_eq!(span.of(text), "Online");
    }
}
